"""One box that finds units, kits, events and data sheets, and says of each what somebody at a shelf wants to know."""

import re

import pytest

from inventory.models import Kit, Location, Position, Tag, Unit
from inventory.services.faults import report_fault
from tests.scheduling.factories import KitFactory, SpecFactory, UnitFactory, VenueFactory
from tests.web.company import make_unit, write
from tests.web.reading import text
from tests.web.shows import booked, show

pytestmark = pytest.mark.django_db


def sought(reader, what: str, role: str = "viewer") -> str:
    return text(reader(role).get("/find/", {"q": what}))


def hits(page: str) -> list[int]:
    """Return the units found, in order."""
    return [int(found) for found in re.findall(r'<a class="name" href="/units/(\d+)/">', page)]


def flag(unit: int, what: str = "dead") -> None:
    given = {"what": what, "port": None, "usable": None, "note": ""}
    write(None, lambda c: report_fault(c, unit_id=unit, **given))


def test_nothing_typed_says_what_can_be_typed(reader) -> None:
    assert "Type what you look for" in text(reader("viewer").get("/find/"))


@pytest.mark.parametrize("what", ["lamp-1", "LAMP", "SN-77", "splitter eight", "shelf", "crew", "dented", "Maker"])
def test_a_unit_is_found_by_tag_serial_place_holder_condition_or_words(reader, people, what: str) -> None:
    UnitFactory(spec__name="Something else")
    unit = UnitFactory(
        tag="LAMP-1",
        serial="SN-77",
        spec=SpecFactory(name="Splitter, eight ways", maker="Some maker"),
        condition="dented",
        location=Location.objects.create(name="Shelf A"),
        signed_to=people["crew"],
    )
    Tag.objects.create(tag="LAMP-1", unit=unit)
    assert hits(sought(reader, what)) == [unit.pk]


def test_a_retired_tag_still_finds_its_unit_and_says_so(reader) -> None:
    unit = UnitFactory(tag="NEW-1")
    Tag.objects.bulk_create([Tag(tag="NEW-1", unit=unit), Tag(tag="OLD-9", unit=unit)])
    page = sought(reader, "old-9")
    assert hits(page) == [unit.pk]
    assert re.search(r"once <span class=\"tag\">OLD-9</span>", page)


def test_the_tag_itself_comes_before_tags_that_only_hold_it(reader) -> None:
    longer, exact = UnitFactory(tag="A-LAMP-1"), UnitFactory(tag="LAMP-1")
    Tag.objects.bulk_create([Tag(tag="A-LAMP-1", unit=longer), Tag(tag="LAMP-1", unit=exact)])
    assert hits(sought(reader, "lamp-1")) == [exact.pk, longer.pk]


def test_a_unit_says_where_it_is_who_has_it_whether_it_can_be_trusted_and_who_counts_on_it(reader, people) -> None:
    kit = KitFactory(name="Booth case")
    unit = UnitFactory(
        spec__name="Splitter",
        condition="dented",
        location=Location.objects.create(name="Shelf A"),
        signed_to=people["crew"],
    )
    place = Position.objects.create(kit=kit, label="splitter A", role="required", spec=unit.spec, unit=unit)
    booked(show("Harvest choirs", out=2, back=3), kit=kit.pk)
    booked(show("Later show", out=5, back=6), kit=kit.pk)
    flag(unit.pk, "latch")
    page = sought(reader, "splitter")
    assert f'In <a href="/kits/{kit.pk}/#p{place.pk}">Booth case</a>, splitter A; Shelf A; signed to crew' in page
    assert "1 open fault" in page
    assert "dented" in page
    assert re.search(r'Next: <a href="/events/\d+/">Harvest choirs</a>, .*?, promised', page)
    assert "Later show" not in page
    flag(unit.pk)
    held = sought(reader, "splitter")
    assert "held back" in held
    assert "has to do without it" in held


def test_a_mistyped_tag_is_explained_and_the_near_ones_are_offered(reader) -> None:
    unit = Unit.objects.get(pk=make_unit(SpecFactory().pk))
    assert unit.tag == "T0001W"
    page = sought(reader, "t0010w")  # two neighbours swapped
    assert "One character of T0010W is wrong" in page
    assert f'href="/units/{unit.pk}/">T0001W</a>' in page
    assert "One character of T9999A is wrong" in sought(reader, "T9999A")
    assert "No tag of this company is one character away" in sought(reader, "T9999A")


def test_kits_events_and_data_sheets_answer_as_well(reader) -> None:
    case = UnitFactory(location=Location.objects.create(name="Bay 2"))
    kit = KitFactory(name="Harvest case", purpose="stage left", case=case)
    Kit.objects.update(verdict="caution", verdict_design="caution", verdict_packed="caution")
    SpecFactory(name="Harvest lamp")
    event = show("Harvest choirs", venue=VenueFactory(name="Tithe barn").pk)
    booked(event, kit=kit.pk)
    page = sought(reader, "harvest")
    assert f'<a href="/kits/{kit.pk}/">Harvest case</a>' in page
    assert "Bay 2" in page
    assert "cautions" in page
    assert f'<a href="/events/{event}/">Harvest choirs</a>' in page
    assert "Tithe barn" in page
    assert "Harvest lamp</a></b> <small>switch, none owned" in page
    assert "1 kit, 1 event, 1 type" in page
    assert f'<a href="/kits/{kit.pk}/">Harvest case</a>' in sought(reader, case.tag)


def test_a_client_is_found_by_those_only_who_may_know_it(reader) -> None:
    show("Harvest choirs", client="Choir school")
    assert "Harvest choirs" in sought(reader, "school", "crew")
    assert "Harvest choirs" not in sought(reader, "school", "viewer")


def test_shows_to_come_stand_before_those_that_are_over(reader) -> None:
    show("Over", out=-4, back=-3)
    show("To come", out=4, back=5)
    page = sought(reader, "o")
    assert page.index("To come") < page.index("Over")


def test_every_word_has_to_be_there(reader) -> None:
    SpecFactory(name="Camera on a stick")
    assert "Camera on a stick" in sought(reader, "stick camera")
    assert "Nothing goes by that" in sought(reader, "stick lamp")


def test_a_long_list_is_cut_and_says_so(reader) -> None:
    spec = SpecFactory(name="Short lead")
    for _ in range(31):
        UnitFactory(spec=spec)
    for _ in range(11):
        KitFactory(name="Short case")
    page = sought(reader, "short")
    assert len(hits(page)) == 30
    assert "the first 30" in page
    assert "There is more than stands here" in page


def test_a_script_is_given_the_answer_only(reader) -> None:
    UnitFactory(spec__name="Splitter")
    part = reader("viewer").get("/find/?q=splitter", headers={"HX-Request": "true"})
    assert "<html" not in text(part)
    assert len(hits(text(part))) == 1
    assert '<small id="count" data-hx-swap-oob="innerHTML">1 unit, 1 type</small>' in text(part)


@pytest.mark.parametrize("what", ["\x00", "%", "_", "'", '"><script>alert(1)</script>', "a" * 5000, "\\", "١"])
def test_anything_can_be_typed(reader, what: str) -> None:
    UnitFactory(spec__name="Splitter")
    answer = reader("viewer").get("/find/", {"q": what})
    assert answer.status_code == 200
    assert "<script>alert" not in text(answer)
    assert hits(text(answer)) == []


def test_names_are_text_and_not_markup(reader) -> None:
    evil = "<script>alert(1)</script> q"
    unit = UnitFactory(spec__name=evil, condition=evil, location=Location.objects.create(name=evil))
    KitFactory(name=evil, purpose=evil)
    booked(show(evil), unit=unit.pk)
    page = sought(reader, "q", "planner")
    assert hits(page) == [unit.pk]
    assert "<script>alert" not in page


def test_the_box_is_the_one_of_the_frame_and_keeps_what_was_typed(reader) -> None:
    page = sought(reader, "lamp")
    assert page.count('type="search"') == 1
    assert re.search(r'<input type="search"[^>]*value="lamp"[^>]*data-hx-get="/find/"', page)
