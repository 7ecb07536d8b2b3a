"""Where a kit is promised, on its page."""

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.checks.drain import drain
from inventory.services.kits import create_kit
from inventory.services.positions import PositionDraft
from tests.web.company import Gear, make_unit, stage_case, write
from tests.web.reading import text
from tests.web.shows import booked, show

pytestmark = pytest.mark.django_db


@pytest.fixture
def gear() -> Gear:
    made = stage_case()
    drain(pause=lambda _: None)
    return made


def promised(answer) -> str:
    page = text(answer)
    return page[page.index('id="promised"') : page.index('id="history"')]


def test_a_kit_that_nobody_booked_says_where_to_book_it(reader, gear: Gear) -> None:
    assert "Promised to no show." in promised(reader("viewer").get(f"/kits/{gear.kit}/"))


def test_bookings_from_today_on_stand_in_time_with_their_state(reader, gear: Gear) -> None:
    later, sooner, gone = show("Later", out=9, back=10), show("Sooner", out=3, back=4), show("Gone", out=-4, back=-3)
    booked(gone, kit=gear.kit)
    booked(later, kit=gear.kit)
    booked(sooner, kit=gear.kit, state="pencil", expires_at=timezone.now() + timedelta(days=2))
    part = promised(reader("viewer").get(f"/kits/{gear.kit}/"))
    assert "Gone" not in part
    assert part.index(f'href="/events/{sooner}/">Sooner') < part.index(f'href="/events/{later}/">Later')
    assert part.count("pencilled until") == 1
    assert part.count("promised</span>") == 1


def test_a_shortfall_is_counted_and_leads_to_what_could_stand_in(reader, gear: Gear) -> None:
    rival, event = show("Rival", out=3, back=4), show("Ours", out=3, back=4)
    booked(rival, unit=gear.units["switch A"])
    booked(event, kit=gear.kit)
    page = reader("viewer")
    part = promised(page.get(f"/kits/{gear.kit}/"))
    assert "short 1" in part
    assert f'href="/events/{event}/short/"' in part
    assert page.get(f"/events/{event}/short/").status_code == 200


def test_a_kit_in_another_is_promised_with_it(reader, gear: Gear) -> None:
    trunk = make_unit(gear.specs["case"])
    outer = write(
        None,
        lambda c: create_kit(
            c,
            fields={"name": "Trunk"},
            positions=[
                PositionDraft(label="case", role="case", spec=gear.specs["case"], unit=trunk),
                PositionDraft(label="stage", role="required", spec=gear.specs["case"], unit=gear.units["case"]),
            ],
        ),
    )
    booked(show("Far away", out=3, back=4), kit=outer)
    part = promised(reader("viewer").get(f"/kits/{gear.kit}/"))
    assert "Far away" in part
    assert f'inside <a href="/kits/{outer}/">Trunk</a>' in part
