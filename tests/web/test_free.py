"""What is free: counts and marks against the selector, kits with their reasons, cells that open and book."""

import re
from urllib.parse import urlencode

import pytest

from inventory.services.faults import report_fault
from scheduling.models import Booking, Claim
from scheduling.promises.decide import Period
from scheduling.selectors.availability.reasons import units_of_spec_in
from tests.scheduling.factories import KitFactory, PositionFactory, SpecFactory, UnitFactory
from tests.web.company import write
from tests.web.reading import text, words
from tests.web.shows import booked, moment, show
from web.components.shelf import spec_cell

pytestmark = pytest.mark.django_db

ROLES = ("viewer", "crew", "planner", "owner", "electrics")
SCRIPT = {"HX-Request": "true"}


def ask(*events: int, **more: object) -> str:
    return "/free/?" + urlencode([*(("event", event) for event in events), *more.items()])


def flag(unit: int) -> None:
    write(None, lambda c: report_fault(c, unit_id=unit, what="dead", port=None, usable=False, note="dark"))


def counts(**changes: int):
    return {"owned": 0, "held_back": 0, "claimed": 0, "pencilled": 0, "packed": 0, "free": 0, "bookable": 0, **changes}


def shelf(**changes: int) -> list[str]:
    cell = spec_cell(counts(**changes), address="", opened=False)
    return [mark.symbol.removeprefix("u-") for mark in cell.marks]


# The shelf, by the design's own example: an access point of which nine are owned


def test_each_unit_has_one_mark() -> None:
    marks = shelf(owned=9, free=3, bookable=4, packed=1, pencilled=1, claimed=4, held_back=1)
    assert marks == ["free", "free", "pencil", "redeal", "packed", "gone", "gone", "gone", "held"]
    assert len(marks) == 9


@pytest.mark.parametrize(
    "changes",
    [
        {"owned": 4, "claimed": 4, "held_back": 4},
        {"owned": 2, "free": 2, "bookable": 2, "pencilled": 2},
        {"owned": 3, "claimed": 3, "bookable": 1},
        {"owned": 5, "packed": 5},
        {"owned": 1, "held_back": 1, "pencilled": 1},
        {},
    ],
)
def test_there_are_never_more_marks_than_units(changes) -> None:
    assert len(shelf(**changes)) == changes.get("owned", 0)


def test_many_units_are_one_bar() -> None:
    cell = spec_cell(counts(owned=60, free=18, bookable=18, claimed=42), address="", opened=False)
    assert cell.marks == ()
    assert cell.share == 30


# The table


@pytest.mark.parametrize("role", ROLES)
def test_everybody_may_look(reader, role: str) -> None:
    event, kit = show(), KitFactory(name="Case 1")
    page = text(reader(role).get(ask(event, open=f"k{kit.pk}-0")))
    assert "Case 1" in page
    assert ("Book it" in page) == (role != "viewer")


def test_nobody_is_let_in_and_an_empty_company_is_told(reader) -> None:
    assert reader().get("/free/").status_code == 302
    assert "Choose shows or hours" in text(reader("viewer").get("/free/"))


def test_the_next_shows_are_asked_about_at_first(reader) -> None:
    KitFactory()
    for day in range(1, 7):
        show(f"Show {day}", out=day, back=day + 0.5)
    page = text(reader("viewer").get("/free/"))
    assert "4 shows" in page
    assert page.count('<th scope="col"><a') == 4


def test_four_shows_beside_each_other(reader) -> None:
    kit, spec = KitFactory(name="Case 1"), SpecFactory(name="Access point")
    units = [UnitFactory(spec=spec) for _ in range(3)]
    shows = [show(f"Show {day}", out=day, back=day + 0.5) for day in (1, 2, 3, 4)]
    booked(shows[1], kit=kit.pk)
    booked(shows[2], kit=kit.pk, state="pencil")
    booked(shows[3], spec=spec.pk, quantity=2)
    flag(units[0].pk)
    page = words(reader("viewer").get(ask(*shows)))
    row = page[page.index("Case 1 kit") : page.index("Show the types")]
    assert row.split("Case 1 kit")[1].split()[0] == "Free"
    assert "Its own confirmed" in row
    assert "Its own pencilled to" in row
    specs = words(reader("viewer").get(ask(*shows, show="specs")))
    assert "3 owned" in specs
    assert specs.count("2 bookable 2 free , 0 pencilled, 0 promised, 1 held back") == 3
    assert "0 bookable 0 free , 0 pencilled, 2 promised, 1 held back" in specs


def test_a_cell_says_who_has_a_kit_and_when_it_is_back(reader) -> None:
    kits = {name: KitFactory(name=name) for name in ("Away", "Bench", "Free one", "Waits")}
    mine, theirs = show("Advent choir", out=5, back=6), show("Salt Road", out=4, back=7)
    booked(theirs, kit=kits["Away"].pk)
    booked(theirs, kit=kits["Waits"].pk, state="pencil", expires_at=moment(2))
    flag(kits["Bench"].positions.get(label="case").unit_id)
    page = words(reader("viewer").get(ask(mine)))
    assert "For Advent choir: 1 kit is free." in page
    assert re.search(r"Away kit Salt Road back \w{3} \d", page)
    assert re.search(r"Waits kit Salt Road pencil to \w{3} \d", page)
    assert "Bench kit Held back broken, " in page
    rows = [page.index(name) for name in ("Free one kit", "Waits kit", "Away kit")]
    assert rows == sorted(rows), "free ones first, then those that a pencil keeps"


def test_kinds_and_words_narrow_it(reader) -> None:
    event = show()
    UnitFactory(spec__name="Camera, wide", spec__kind="camera")
    UnitFactory(spec__name="Switch, wide", spec__kind="switch")
    KitFactory(name="Case 1")
    page = text(reader("viewer").get(ask(event, kind="camera")))
    assert "Camera, wide" in page
    assert "Switch, wide" not in page
    assert "Case 1" not in page
    page = text(reader("viewer").get(ask(event, q="case")))
    assert "Case 1" in page
    specs = text(reader("viewer").get(ask(event, show="specs", q="wide swi")))
    assert "Switch, wide" in specs
    assert "Camera, wide" not in specs


def test_other_hours_are_columns_too(reader) -> None:
    KitFactory(name="Case 1")
    show()
    interval = "2031-05-01T06:00:00Z/2031-05-03T22:00:00Z"
    page = words(reader("viewer").get(f"/free/?{urlencode({'window': interval})}"))
    assert "These hours Thu 1 May 2031 06:00 – Sat 3 May 2031 22:00" in page
    typed = {"from": "2031-05-01T08:00", "until": "2031-05-01T10:00"}
    assert "Thu 1 May 2031 08:00 – 10:00" in words(reader("viewer").get(f"/free/?{urlencode(typed)}"))


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("window=tomorrow", "is not an interval with offsets"),
        ("window=2031-05-03T00:00:00Z/2031-05-01T00:00:00Z", "has to end after it starts"),
        ("from=2031-05-03T00:00", "give both"),
        ("event=999999", "There is no event 999999."),
        ("&".join(f"event={number}" for number in range(1, 20)), "12 windows fit beside each other"),
    ],
)
def test_what_cannot_be_read_is_told_and_the_rest_answered(reader, query: str, said: str) -> None:
    show()
    answer = reader("viewer").get(f"/free/?{query}")
    assert answer.status_code == 200
    assert said in text(answer)


@pytest.mark.parametrize(
    "query", ["event=%00", "event=-1", "event=99999999999999999999", "open=k0-0", "open=s1-99", "page=0", "q=%00",
              "kind=x", "open=k99999999-0", "show=x", "booked=x"],
)  # fmt: skip
def test_an_address_that_nobody_was_given_does_no_harm(reader, query: str) -> None:
    event = show()
    for headers in ({}, SCRIPT):
        assert reader("planner").get(f"{ask(event)}&{query}", headers=headers).status_code == 200


# A cell


def test_a_cell_tells_what_stands_on_each_unit() -> None:
    spec, kit = SpecFactory(), KitFactory(name="Booth case")
    free, promised, pencilled, down = (UnitFactory(spec=spec) for _ in range(4))
    packed = PositionFactory(kit=kit, unit=UnitFactory(spec=spec)).unit
    event = show("Choirs")
    booked(event, unit=promised.pk)
    booked(event, unit=pencilled.pk, state="pencil")
    flag(down.pk)
    from django.utils import timezone

    from web.components.shelf import groups

    found = groups(units_of_spec_in(spec, Period(moment(1), moment(2)), timezone.now()))
    told = {group.words: [unit for told in group.told for unit, _ in told.units] for group in found}
    assert told == {
        "1 free": [free.pk],
        "1 in a kit": [packed.pk],
        "1 pencilled": [pencilled.pk],
        "1 promised": [promised.pk],
        "1 held back": [down.pk],
    }
    held = found[-1].told[0]
    assert held.words == "broken: dark; end not known"


def test_a_cell_opens_below_its_row_with_and_without_a_script(reader) -> None:
    event, spec = show("Choirs"), SpecFactory(name="Access point")
    UnitFactory(spec=spec)
    address = ask(event, show="specs", open=f"s{spec.pk}-0")
    whole = text(reader("planner").get(address))
    assert 'aria-expanded="true"' in whole
    assert "Access point, Choirs: 1 bookable" in whole
    part = text(reader("planner").get(address, headers=SCRIPT))
    assert part.startswith(f'<tbody id="r-s{spec.pk}">')
    assert "Access point, Choirs: 1 bookable" in part
    assert "<html" not in part


def form_of(address: str, event: int | None, **more: str) -> dict[str, str]:
    return {
        "asked": address.partition("?")[2],
        "event": "" if event is None else str(event),
        "state": "confirmed",
        **more,
    }


def test_a_number_is_booked_from_the_cell(reader) -> None:
    event, spec = show("Choirs"), SpecFactory()
    for _ in range(3):
        UnitFactory(spec=spec)
    address = ask(event, show="specs", open=f"s{spec.pk}-0")
    answer = reader("crew").post("/free/", form_of(address, event, quantity="2"))
    assert answer.status_code == 303
    assert (Booking.objects.get().quantity, Booking.objects.get().state) == (2, "confirmed")
    page = words(reader("crew").get(answer["Location"].partition("#")[0]))
    assert "Booked for Choirs." in page
    assert "1 bookable" in page


def test_a_kit_is_booked_for_a_show_in_hours_of_its_own(reader) -> None:
    event, kit = show("Choirs"), KitFactory()
    interval = "2031-05-01T06:00:00+00:00/2031-05-03T22:00:00+00:00"
    address = f"/free/?{urlencode({'window': interval, 'open': f'k{kit.pk}-0'})}"
    assert "For which show" in text(reader("planner").get(address))
    refused = reader("planner").post("/free/", form_of(address, None, window=interval))
    assert refused.status_code == 400
    assert "Choose a show" in text(refused)
    assert reader("planner").post("/free/", form_of(address, event, window=interval)).status_code == 303
    assert Booking.objects.get().starts_at.isoformat() == "2031-05-01T06:00:00+00:00"
    assert Booking.objects.get().follows_event is False


def test_a_conflict_stands_in_the_cell_and_another_kit_is_one_tap_away(reader) -> None:
    first = KitFactory(name="Case 1")
    case = first.positions.get(role="case")
    second = KitFactory(name="Case 2", case=UnitFactory(spec=case.spec))
    booked(show("Green"), kit=first.pk)
    event = show("Choirs")
    address = ask(event, open=f"k{first.pk}-0")
    answer = reader("planner").post("/free/", form_of(address, event), headers=SCRIPT)
    assert answer.status_code == 409
    assert "promised to Green" in words(answer)
    assert "Take Case 2 instead" in text(answer)
    assert text(answer).startswith("<tbody")
    assert reader("planner").post("/free/", form_of(address, event, instead=f"kit-{second.pk}")).status_code == 303
    assert Booking.objects.latest("pk").kit == second


def test_a_clash_says_how_many_each_wants_and_how_many_are_short(reader) -> None:
    """Of five, Green has three of the four that it wants, because one is broken, and Choirs asks for four."""
    spec = SpecFactory(name="Access point")
    units = [UnitFactory(spec=spec) for _ in range(5)]
    green = booked(show("Green"), spec=spec.pk, quantity=4)
    kept = set(Claim.objects.filter(booking=green).values_list("unit", flat=True))
    idle = next(unit for unit in units if unit.pk not in kept)
    for unit in (idle.pk, min(kept)):
        flag(unit)
    event = show("Choirs")
    address = ask(event, show="specs", open=f"s{spec.pk}-0")
    answer = reader("planner").post("/free/", form_of(address, event, quantity="4"))
    assert answer.status_code == 409
    page = words(answer)
    assert "In the way: it wants 4, 4 short" in page
    assert "promised to Green , which wants 4, 1 short" in page


def test_fewer_are_offered_and_what_was_typed_stays(reader) -> None:
    event, spec = show(), SpecFactory()
    UnitFactory(spec=spec)
    address = ask(event, show="specs", open=f"s{spec.pk}-0")
    answer = reader("planner").post("/free/", form_of(address, event, quantity="7"))
    assert answer.status_code == 409
    assert "Book 1 instead" in text(answer)
    assert 'value="7"' in text(answer)


def test_a_viewer_is_refused_when_forcing_it(reader) -> None:
    event, kit = show(), KitFactory()
    assert reader("viewer").post("/free/", form_of(ask(event, open=f"k{kit.pk}-0"), event)).status_code == 403
    assert not Booking.objects.exists()


def test_a_session_lost_in_the_middle_loses_neither_the_question_nor_the_answer(reader) -> None:
    event, spec = show("Choirs"), SpecFactory(name="Access point")
    UnitFactory(spec=spec)
    address = ask(event, show="specs", open=f"s{spec.pk}-0")
    nobody = reader()
    asked = nobody.post("/free/", form_of(address, event, quantity="7"))
    kept = re.search(r'name="kept" value="([^"]+)"', text(asked))
    assert kept
    reader("planner")
    sent = {"username": "planner", "password": "a long enough password", "next": "/", "kept": kept[1]}
    page = text(nobody.get(nobody.post("/sign-in/", sent)["Location"]))
    assert "Access point, Choirs: 1 bookable" in page
    assert 'value="7"' in page


def test_what_people_typed_stays_text(reader) -> None:
    nasty = "<script>alert(1)</script>"
    event, kit = show(nasty), KitFactory(name=nasty)
    booked(event, kit=kit.pk)
    assert nasty not in text(reader("planner").get(ask(event, open=f"k{kit.pk}-0", q="<b>")))
