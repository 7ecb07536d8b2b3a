"""The empty start: the first owner sets up the company on an address that works once."""

import pytest
from django.core import signing

from inventory.base.models import User
from inventory.models import Company
from tests.web.reading import text
from web.first_owner import SALT, address_of_first_owner, is_valid_key

pytestmark = pytest.mark.django_db

GIVEN = {
    "name": "Barn crew",
    "timezone": "Europe/Zurich",
    "rules": "north_america",
    "currency": "CHF",
    "person": "Ida",
    "username": "ida",
    "password": "a barn full of cables",
    "again": "a barn full of cables",
}


def test_the_first_owner_sets_up_the_company_and_is_signed_in(client) -> None:
    answer = client.post(address_of_first_owner(), GIVEN)
    assert (answer.status_code, answer["Location"]) == (303, "/")
    company = Company.objects.get()
    assert (company.name, company.timezone, company.rules, company.currency) == (
        "Barn crew", "Europe/Zurich", "north_america", "CHF",
    )  # fmt: skip
    assert User.objects.get().roles == {"owner"}
    assert "Begin here" in text(client.get("/"))
    assert client.get("/people/").status_code == 200


def test_the_address_works_once(client) -> None:
    address = address_of_first_owner()
    client.post(address, GIVEN)
    client.post("/sign-out/")
    for answer in (client.get(address), client.post(address, GIVEN | {"username": "second"})):
        assert (answer.status_code, answer["Location"]) == (303, "/sign-in/")
    assert User.objects.count() == 1


@pytest.mark.parametrize("key", ["guess", "ImJlZ2luIg:1xYDVw:X0RVAtl0X42zBV19Vyr68DZZsMEZCu-1EedecOJFq8o"])
def test_a_key_that_this_service_did_not_make_opens_nothing(client, key: str) -> None:
    assert client.post(f"/begin/{key}/", GIVEN).status_code == 404
    assert User.objects.count() == 0


def test_an_address_of_long_ago_is_over() -> None:
    """The signer writes the time of its making into a key: this one was made in September 2020."""

    class LongAgo(signing.TimestampSigner):
        def timestamp(self) -> str:
            return signing.b62_encode(1_600_000_000)

    assert is_valid_key(signing.dumps("begin", salt=SALT))
    assert not is_valid_key(LongAgo(salt=SALT).sign_object("begin"))


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("again", "another", "Type the same password twice."),
        ("password", "12345678", "too common"),
        ("timezone", "Barn/Yard", "IANA"),
        ("username", "", "required"),
        ("currency", "francs", "three capital letters"),
    ],
)
def test_what_cannot_be_used_is_told_beside_its_field_and_nobody_is_made(client, field, value, said) -> None:
    changed = {field: value} | ({"again": value} if field == "password" else {})
    answer = client.post(address_of_first_owner(), GIVEN | changed)
    assert answer.status_code == 400
    assert said in text(answer)
    assert User.objects.count() == 0
    assert Company.objects.get().name != "Barn crew"


def test_a_superuser_made_by_hand_is_an_owner(client) -> None:
    User.objects.create_superuser("root", password="a barn full of cables")
    client.login(username="root", password="a barn full of cables")
    assert client.get("/people/").status_code == 200
    assert User.objects.get().may("user.edit")
