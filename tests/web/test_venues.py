"""The pages of houses: facts and circuits, who may change them, what is refused."""

import re

import pytest

from scheduling.models import Venue
from scheduling.services.venues import create_venue, edit_venue
from tests.web.company import write
from tests.web.reading import text

pytestmark = pytest.mark.django_db

ROLES = ("viewer", "crew", "planner", "owner", "electrics")


def hidden(answer) -> dict[str, str]:
    return dict(re.findall(r'<input type="hidden" name="(version|ledger)" value="(\d+)"', text(answer)))


@pytest.fixture
def house(db) -> int:
    circuits = [{"name": "Stage left", "breaker_a": 16.0, "zone": "stage"}, {"name": "Kitchen"}]
    return write(None, lambda c: create_venue(c, fields={"name": "Barn", "circuits": circuits}))


def circuit(house: int, name: str) -> int:
    return Venue.objects.get(pk=house).circuits.get(name=name).pk


@pytest.mark.parametrize("role", ROLES)
def test_every_page_for_every_role(reader, house: int, role: str) -> None:
    base = f"/venues/{house}/"
    edits = {
        "/venues/new/", f"{base}edit/", f"{base}circuits/new/", f"{base}circuits/{circuit(house, 'Kitchen')}/",
        f"{base}circuits/{circuit(house, 'Kitchen')}/remove/",
    }  # fmt: skip
    for address in ("/venues/", base, *edits):
        may = address not in edits or role in {"planner", "owner"}
        assert reader(role).get(address).status_code == (200 if may else 403), address
    assert ("circuits/" in text(reader(role).get(base))) == (role in {"planner", "owner"})
    assert reader("planner").get("/venues/999/").status_code == 404
    assert reader("planner").get(f"{base}circuits/999/").status_code == 404


def test_what_nobody_asked_is_not_known_and_never_nought(reader, house: int) -> None:
    page = " ".join(re.sub(r"<[^>]+>", " ", text(reader("viewer").get(f"/venues/{house}/"))).split())
    assert "Internet, down not known" in page
    assert "Not known 6 to ask" in page
    assert "licensed electrician" in page


def test_a_house_is_entered_and_its_facts_change(reader) -> None:
    facts = {"name": "Chapel", "timezone": "Europe/Zurich", "rules": "iec", "lan_ranges": "10.0.0.0/8, 192.168.1.0/24"}
    answer = reader("planner").post("/venues/new/", facts)
    row = Venue.objects.get(name="Chapel")
    assert answer["Location"] == f"/venues/{row.pk}/"
    assert row.lan_ranges == ["10.0.0.0/8", "192.168.1.0/24"]
    address = f"/venues/{row.pk}/edit/"
    form = hidden(reader("planner").get(address)) | facts | {"internet_up_mbps": "12"}
    assert reader("planner").post(address, form).status_code == 303
    assert Venue.objects.get(pk=row.pk).internet_up_mbps == 12


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"timezone": "Mars/Olympus"}, "Name a zone of the IANA database"),
        ({"lan_ranges": "10.0.0.5/8"}, "Write blocks such as"),
        ({"ambient_celsius": "200"}, "less than or equal to 90"),
        ({"name": ""}, "This field is required."),
    ],
)
def test_what_cannot_be_used_is_told_and_stays(reader, facts, said: str) -> None:
    answer = reader("planner").post("/venues/new/", {"name": "Chapel", "timezone": "UTC", **facts})
    assert answer.status_code == 400
    assert said in text(answer)
    for value in facts.values():
        assert f'value="{value}"' in text(answer) or not value


def test_circuits_are_added_changed_and_removed_and_the_others_stay(reader, house: int) -> None:
    base = f"/venues/{house}/circuits/"
    new = hidden(reader("planner").get(f"{base}new/")) | {"name": "Gallery", "breaker_a": "10", "curve": "B"}
    assert reader("planner").post(f"{base}new/", new).status_code == 303
    left = circuit(house, "Stage left")
    page = reader("planner").get(f"{base}{left}/")
    assert 'value="16"' in text(page)
    changed = hidden(page) | {"name": "Stage right", "breaker_a": "32"}
    assert reader("planner").post(f"{base}{left}/", changed).status_code == 303
    kitchen = f"{base}{circuit(house, 'Kitchen')}/remove/"
    assert reader("planner").post(kitchen, hidden(reader("planner").get(kitchen))).status_code == 303
    rows = Venue.objects.get(pk=house).circuits.values_list("name", "breaker_a", "curve")
    assert list(rows) == [("Stage right", 32.0, None), ("Gallery", 10.0, "B")]


def test_two_circuits_of_one_name_are_refused(reader, house: int) -> None:
    address = f"/venues/{house}/circuits/new/"
    answer = reader("planner").post(
        address, hidden(reader("planner").get(address)) | {"name": "Kitchen", "zone": "back"}
    )
    assert answer.status_code == 400
    assert "Each circuit of a venue has a name of its own." in text(answer)
    assert 'value="back"' in text(answer)


def test_the_second_of_two_sees_what_the_first_changed(reader, people, house: int) -> None:
    address = f"/venues/{house}/circuits/new/"
    form = hidden(reader("planner").get(address)) | {"name": "Gallery"}
    people["owner"]
    write(people["owner"].pk, lambda c: edit_venue(c, house, fields={"ambient_celsius": 30.0}))
    answer = reader("planner").post(address, form)
    assert answer.status_code == 412
    assert "owner changed" in " ".join(text(answer).split())
    assert reader("planner").post(address, form | hidden(answer)).status_code == 303
    assert Venue.objects.get(pk=house).ambient_celsius == 30


def test_what_people_typed_stays_text(reader) -> None:
    nasty = "<script>alert(1)</script>"
    circuits = [{"name": nasty, "zone": nasty, "leg": "<b>"}]
    house = write(None, lambda c: create_venue(c, fields={"name": nasty, "circuits": circuits}))
    for address in ("/venues/", f"/venues/{house}/", f"/venues/{house}/edit/"):
        assert nasty not in text(reader("planner").get(address))
