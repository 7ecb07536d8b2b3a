"""One's own password and tokens."""

import pytest
from knox.models import AuthToken

from inventory.base.models import HistoryEntry
from tests.service import PASSWORD
from tests.web.reading import text

pytestmark = pytest.mark.django_db

FRESH = "four flat spanners"


@pytest.mark.parametrize("role", ["viewer", "crew", "planner", "owner", "electrics"])
def test_everybody_has_an_account_that_names_the_role(reader, role: str) -> None:
    page = reader(role).get("/account/")
    assert page.status_code == 200
    assert f"<dt>{role}</dt>" in text(page)


def test_a_new_password_holds_and_the_session_goes_on(reader, people) -> None:
    AuthToken.objects.create(user=people["viewer"])
    viewer = reader("viewer")
    answer = viewer.post("/account/", {"current": PASSWORD, "password": FRESH})
    assert (answer.status_code, answer["Location"]) == (303, "/account/?done=password")
    assert viewer.get("/account/").status_code == 200
    assert reader().post("/sign-in/", {"username": "viewer", "password": FRESH}).status_code == 303
    assert reader().post("/sign-in/", {"username": "viewer", "password": PASSWORD}).status_code == 401
    assert not AuthToken.objects.exists()
    assert HistoryEntry.objects.get(noun="user").verb == "change-password"


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"current": "wrong", "password": FRESH}, "current", "That is not your present password."),
        ({"current": PASSWORD, "password": "12345678"}, "password", "too common"),
        ({"current": PASSWORD, "password": ""}, "password", "This field is required."),
    ],
)
def test_a_password_that_cannot_be_changed_is_said_beside_its_field(
    reader, people, typed, field: str, said: str
) -> None:
    answer = reader("viewer").post("/account/", typed)
    assert answer.status_code == 400
    assert f"f-{field}_error" in text(answer)
    assert said in text(answer)
    assert FRESH not in text(answer)
    people["viewer"].refresh_from_db()
    assert people["viewer"].check_password(PASSWORD)


def test_passwords_are_not_kept_while_signing_in(reader) -> None:
    from web import kept

    answer = reader().post("/account/", {"current": PASSWORD, "password": FRESH, "note": "kept"})
    assert answer.status_code == 401
    sealed = kept.unseal(answer.context["page"].kept)
    assert sealed is not None
    assert sealed.values == "note=kept"


def test_only_ones_own_tokens_are_listed_and_taken_back(reader, people) -> None:
    own, _ = AuthToken.objects.create(user=people["viewer"])
    other, _ = AuthToken.objects.create(user=people["crew"])
    viewer = reader("viewer")
    page = text(viewer.get("/account/"))
    assert own.token_key in page
    assert other.token_key not in page
    assert viewer.post("/account/", {"revoke": other.token_key}).status_code == 404
    assert viewer.post("/account/", {"revoke": own.token_key}).status_code == 303
    assert list(AuthToken.objects.all()) == [other]
    assert HistoryEntry.objects.get(noun="user").verb == "revoke-token"
