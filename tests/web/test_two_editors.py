"""Two people edit one thing at once: each writes what they changed, and nobody's change is lost."""

import pytest

from inventory.models import Company, Unit
from scheduling.models import Event, Venue
from scheduling.services.venues import create_venue
from tests.scheduling.factories import UnitFactory
from tests.web.company import write
from tests.web.reading import text
from tests.web.shows import show
from tests.web.typed import typed

pytestmark = pytest.mark.django_db


def edit_together(reader, address: str, first: dict[str, str], second: dict[str, str]) -> None:
    """Open a form twice, save one, send the other, and send it again as the page then asks."""
    somebody = reader("owner")
    mine, theirs = (typed(text(somebody.get(address))) for _ in range(2))
    assert somebody.post(address, theirs | first).status_code == 303
    refused = somebody.post(address, mine | second)
    assert refused.status_code == 412
    assert somebody.post(address, typed(text(refused))).status_code == 303


def test_a_new_name_and_another_venue_of_one_show_are_both_kept(reader) -> None:
    event = show("Choirs")
    venue = write(None, lambda c: create_venue(c, fields={"name": "Barn", "timezone": "Europe/Zurich"}))
    edit_together(reader, f"/events/{event}/edit/", {"name": "Harvest choirs"}, {"venue": str(venue)})
    row = Event.objects.get(pk=event)
    assert (row.name, row.venue_id) == ("Harvest choirs", venue)


def test_a_serial_and_a_condition_of_one_unit_are_both_kept(reader) -> None:
    unit = UnitFactory(serial="S-1", condition="")
    edit_together(reader, f"/units/{unit.pk}/edit/", {"serial": "S-2"}, {"condition": "scratched"})
    unit = Unit.objects.get(pk=unit.pk)
    assert (unit.serial, unit.condition) == ("S-2", "scratched")


def test_two_facts_of_one_venue_are_both_kept(reader) -> None:
    venue = write(None, lambda c: create_venue(c, fields={"name": "Barn", "timezone": "Europe/Zurich"}))
    edit_together(reader, f"/venues/{venue}/edit/", {"ambient_celsius": "31"}, {"internet_up_mbps": "20"})
    row = Venue.objects.get(pk=venue)
    assert (row.ambient_celsius, row.internet_up_mbps) == (31, 20)


def test_two_settings_of_the_company_are_both_kept(reader) -> None:
    edit_together(reader, "/settings/", {"name": "Barn crew"}, {"rules": "north_america"})
    company = Company.objects.get()
    assert (company.name, company.rules) == ("Barn crew", "north_america")


def test_the_same_fact_changed_twice_keeps_what_was_sent_last_knowingly(reader) -> None:
    event = show("Choirs")
    edit_together(reader, f"/events/{event}/edit/", {"name": "Theirs"}, {"name": "Mine"})
    assert Event.objects.get(pk=event).name == "Mine"


def test_what_was_typed_before_signing_in_again_is_still_a_change(reader) -> None:
    event = show("Choirs")
    address = f"/events/{event}/edit/"
    form = typed(text(reader("owner").get(address)))
    stranger = reader()
    kept = typed(text(stranger.post(address, form | {"name": "Typed before"})))
    assert kept["kept"]
    back = stranger.post("/sign-in/", kept | {"username": "owner", "password": "a long enough password"}, follow=True)
    again = typed(text(back))
    assert again["name"] == "Typed before"
    assert stranger.post(address, again).status_code == 303
    assert Event.objects.get(pk=event).name == "Typed before"
