"""The people of the company, as the owner keeps them and as everybody else reads them."""

import pytest

from inventory.base.models import HistoryEntry, User
from tests.service import PASSWORD
from tests.web.reading import text

pytestmark = pytest.mark.django_db

NEW = {"username": "ida", "name": "Ida", "password": "three tall ladders", "role": "planner", "electrics": "on"}
WEAKER = ("viewer", "crew", "planner", "electrics")


def roles_of(username: str) -> set[str]:
    return set(User.objects.get(username=username).groups.values_list("name", flat=True))


@pytest.mark.parametrize("role", ["viewer", "crew", "planner", "owner", "electrics"])
def test_everybody_reads_who_works_here(reader, people, role: str) -> None:
    page = reader(role).get("/people/")
    assert page.status_code == 200
    assert role in text(page)
    assert ("Add somebody" in text(page)) == (role == "owner")
    assert (f'href="/people/{people[role].pk}/"' in text(page)) == (role == "owner")


@pytest.mark.parametrize("role", WEAKER)
def test_only_the_owner_adds_or_changes_somebody_even_when_forced(reader, people, role: str) -> None:
    somebody = reader(role)
    target = people["viewer"].pk
    assert somebody.get("/people/new/").status_code == 403
    assert somebody.post("/people/new/", NEW).status_code == 403
    assert somebody.post(f"/people/{target}/", {"username": "taken over"}).status_code == 403
    assert not User.objects.filter(username__in=["ida", "taken over"]).exists()


def test_the_owner_adds_somebody_who_can_then_sign_in(reader) -> None:
    answer = reader("owner").post("/people/new/", NEW)
    assert (answer.status_code, answer["Location"]) == (303, "/people/")
    assert roles_of("ida") == {"planner", "electrics"}
    signed_in = reader().post("/sign-in/", {"username": "ida", "password": NEW["password"]})
    assert signed_in.status_code == 303
    entry = HistoryEntry.objects.get(noun="user", verb="create")
    assert (entry.actor.username, entry.label) == ("owner", "ida")


def test_a_weak_password_is_refused_beside_its_field_and_the_rest_stays_typed(reader) -> None:
    answer = reader("owner").post("/people/new/", {**NEW, "password": "password"})
    assert answer.status_code == 400
    assert 'value="ida"' in text(answer)
    assert "f-password_error" in text(answer)
    assert "too common" in text(answer)
    assert 'value="password"' not in text(answer)
    assert not User.objects.filter(username="ida").exists()


def test_a_taken_name_is_refused(reader, people) -> None:
    people["crew"]
    answer = reader("owner").post("/people/new/", {**NEW, "username": "CREW"})
    assert answer.status_code == 409
    assert "Somebody is called CREW already." in text(answer)


def known(user: User, **changes: object) -> dict[str, object]:
    form = {"username": user.username, "name": user.first_name, "role": "crew", "active": "on"}
    return {**form, "version": user.version, "ledger": 0, **changes}


def test_the_owner_gives_another_role_and_keeps_the_password(reader, people) -> None:
    crew = people["crew"]
    before = crew.password
    answer = reader("owner").post(f"/people/{crew.pk}/", known(crew, role="planner"))
    assert answer.status_code == 303
    crew.refresh_from_db()
    assert roles_of("crew") == {"planner"}
    assert crew.password == before


def test_somebody_who_left_stays_in_the_list_and_cannot_sign_in(reader, people) -> None:
    crew = people["crew"]
    owner = reader("owner")
    form = known(crew)
    del form["active"]
    assert owner.post(f"/people/{crew.pk}/", form).status_code == 303
    assert "Not here any more" in text(owner.get("/people/"))
    assert reader().post("/sign-in/", {"username": "crew", "password": PASSWORD}).status_code == 401


def test_the_last_owner_stays_owner(reader, people) -> None:
    owner = people["owner"]
    answer = reader("owner").post(f"/people/{owner.pk}/", known(owner, role="viewer"))
    assert answer.status_code == 409
    assert "Somebody has to be owner" in text(answer)
    assert roles_of("owner") == {"owner"}


def test_an_edit_over_somebody_elses_edit_is_held_back_with_what_was_typed(reader, people) -> None:
    crew = people["crew"]
    owner = reader("owner")
    owner.post(f"/people/{crew.pk}/", known(crew, name="First"))
    answer = owner.post(f"/people/{crew.pk}/", known(crew, name="Second"))
    assert answer.status_code == 412
    assert 'value="Second"' in text(answer)
    assert "What changed meanwhile" in text(answer)
    crew.refresh_from_db()
    assert crew.first_name == "First"
    assert f'name="version" value="{crew.version}"' in text(answer)


def test_nobody_is_there(reader) -> None:
    assert reader("owner").get("/people/999999/").status_code == 404


def test_names_are_text_and_not_markup(reader, people) -> None:
    people["crew"].first_name = "<script>alert(1)</script>"
    people["crew"].save()
    page = text(reader("viewer").get("/people/"))
    assert "<script>alert(1)" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_what_the_owner_typed_outlives_the_session(reader) -> None:
    nobody = reader()
    answer = nobody.post("/people/new/", NEW)
    assert answer.status_code == 401
    assert "What you typed is kept" in text(answer)
    assert NEW["password"] not in text(answer)


def test_what_changes_about_somebody_holds_from_their_next_page_on(reader, people) -> None:
    somebody = reader("planner")
    assert somebody.get("/kits/new/").status_code == 200
    people["planner"].groups.clear()
    assert somebody.get("/kits/new/").status_code == 403
    assert somebody.get("/kits/").status_code == 403
    people["planner"].groups.set(people["viewer"].groups.all())
    assert somebody.get("/kits/").status_code == 200
    people["planner"].is_active = False
    people["planner"].save()
    assert somebody.get("/kits/").status_code == 302
