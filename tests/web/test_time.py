"""Time: what is drawn stands in the table, zoom and ways, overlaps in lanes, what is short, late and held back."""

import re
from datetime import UTC, datetime, timedelta
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.models import Company
from scheduling.models import Event
from scheduling.promises.decide import Period
from tests.scheduling.factories import DowntimeFactory, KitFactory, PositionFactory, SpecFactory, UnitFactory
from tests.web.reading import text, words
from tests.web.shows import booked, moment, show
from web.components.timeline import MOST_LANES, ZOOMS, Stretch, TimeRow, laid, timeline

ROLES = ("viewer", "crew", "planner", "owner", "electrics")
MONDAY = datetime(2031, 5, 5, tzinfo=UTC)


def drawing_of(answer) -> ElementTree.Element:
    found = re.search(r"<svg [^>]*class=\"time.*?</svg>", text(answer), re.DOTALL)
    assert found
    return ElementTree.fromstring(found[0])


def stretch(start: float, end: float | None, kind: str = "promised", label: str = "Choirs") -> Stretch:
    return Stretch(
        kind=kind,
        starts_at=MONDAY + timedelta(hours=start),
        ends_at=None if end is None else MONDAY + timedelta(hours=end),
        label=label,
        address="/events/1/",
    )


def drawn(stretches: list[Stretch], zoom: str = "week") -> str:
    row = TimeRow(name="Case 1", under="kit", address="/kits/1/", stretches=tuple(stretches))
    window = Period(MONDAY, MONDAY + timedelta(days=ZOOMS[zoom].days))
    return str(timeline([row], window, ZOOMS[zoom], MONDAY + timedelta(hours=30)).drawing)


# Lanes


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(1, 10)), max_size=MOST_LANES))
def test_what_lies_in_one_lane_never_overlaps(spans: list[tuple[int, int]]) -> None:
    placed = laid([stretch(start, start + length) for start, length in spans])
    assert len(placed) == len(spans)
    for index, (lane, one) in enumerate(placed):
        for other_lane, other in placed[index + 1 :]:
            assert lane != other_lane or one.ends_at <= other.starts_at or other.ends_at <= one.starts_at


def test_what_has_no_known_end_keeps_its_lane() -> None:
    assert [lane for lane, _ in laid([stretch(0, None), stretch(50, 60)])] == [0, 1]


# The drawing


def test_a_bar_lies_where_its_hours_are() -> None:
    svg = ElementTree.fromstring(drawn([stretch(24, 48)]))
    bar = next(each for each in svg.iter("rect") if each.get("fill") == "var(--ink)")
    assert float(bar.get("x")) == pytest.approx(ZOOMS["week"].width / 7, abs=0.1)
    assert float(bar.get("width")) == pytest.approx(ZOOMS["week"].width / 7, abs=0.1)


@pytest.mark.parametrize(
    ("kind", "mark"),
    [("pencilled", 'class="pencil"'), ("held", "l12 12m0-12l-12 12"), ("late", "l-6 5 6 5"), ("short", 'class="x"')],
)
def test_each_state_has_a_shape_of_its_own(kind: str, mark: str) -> None:
    assert mark in drawn([stretch(24, 48, kind)])
    assert mark not in drawn([stretch(24, 48)])


def test_a_bar_too_narrow_to_be_touched_leads_nowhere() -> None:
    assert 'href="/events/1/"' in drawn([stretch(24, 48)])
    assert 'href="/events/1/"' not in drawn([stretch(24, 30)], "quarter")


def test_the_drawing_says_what_it_is_and_is_well_formed() -> None:
    svg = ElementTree.fromstring(drawn([stretch(24, 48, label='"<&> \x07')]))
    assert svg[0].tag == "title"
    assert svg[1].tag == "desc"
    titles = [each.text for each in svg.iter("title")]
    assert any(title and title.startswith("Case 1: ") for title in titles)


def test_days_begin_at_midnight_where_clocks_are_put_back(settings) -> None:
    from zoneinfo import ZoneInfo

    from django.utils import timezone

    with timezone.override(ZoneInfo("Europe/Madrid")):
        start = datetime(2026, 10, 24, tzinfo=ZoneInfo("Europe/Madrid"))
        end = datetime(2026, 10, 31, tzinfo=ZoneInfo("Europe/Madrid"))
        svg = str(timeline([], Period(start, end), ZOOMS["week"], start).drawing)
    names = re.findall(r">(\w{3} \d+)</text>", svg)
    assert names == ["Sat 24", "Sun 25", "Mon 26", "Tue 27", "Wed 28", "Thu 29", "Fri 30"]
    days = [float(x) for x in re.findall(r'<line class="ld" x1="([\d.]+)" x2="\1" y1="0"', svg)]
    assert days[2] - days[1] == pytest.approx((days[1] - days[0]) * 25 / 24, abs=0.2)


# The page


@pytest.mark.django_db
@pytest.mark.parametrize("role", ROLES)
def test_everybody_may_look(reader, role: str) -> None:
    KitFactory(name="Case 1")
    page = text(reader(role).get("/time/"))
    assert "Case 1" in page
    assert "Nothing is promised or held back then." in page
    assert reader().get("/time/").status_code == 302


@pytest.mark.django_db
def test_the_table_says_what_the_drawing_shows(reader) -> None:
    kit, spec, unit = KitFactory(name="Case 1"), SpecFactory(name="Access point"), UnitFactory(spec__name="Camera")
    for _ in range(3):
        UnitFactory(spec=spec)
    event = show("Choirs", out=1, back=2)
    booked(event, kit=kit.pk)
    booked(event, unit=unit.pk, state="pencil")
    booked(event, spec=spec.pk, quantity=5)
    DowntimeFactory(unit=UnitFactory(spec__name="Drum"), cause="late", starts_at=moment(-1))
    DowntimeFactory(
        unit=UnitFactory(spec__name="Fan"), cause="fault", note="dark", starts_at=moment(-1), ends_at=moment(2)
    )
    answer = reader("viewer").get("/time/")
    table = words(answer)[words(answer).index("The same as a table") :]
    for said in (
        "3 for Choirs promised",
        "short 2: Choirs short",
        "Choirs pencilled",
        "late",
        "broken: dark held back",
    ):
        assert said in re.sub(r" For| State", "", table), said
    titles = [each.text for each in drawing_of(answer).iter("title")][1:]
    assert len(titles) == 6
    assert any(title.startswith("Case 1: Choirs, promised") for title in titles)
    assert f'href="/events/{event}/"' in text(answer)
    assert f'href="/kits/{kit.pk}/"' in text(answer)


@pytest.mark.django_db
def test_what_a_booked_kit_lacks_stands_on_its_bar(reader) -> None:
    kit = KitFactory(name="Case 1")
    PositionFactory(kit=kit, unit=None, spec=SpecFactory())
    booked(show("Choirs"), kit=kit.pk)
    assert "promised, short 1" in words(reader("viewer").get("/time/"))


@pytest.mark.django_db
@pytest.mark.parametrize(("zoom", "days"), [("day", 1), ("week", 7), ("month", 31), ("quarter", 91), ("year", 7)])
def test_zoom_and_ways_are_links(reader, zoom: str, days: int) -> None:
    KitFactory()
    page = text(reader("viewer").get(f"/time/?zoom={zoom}&from=2031-05-05&q=case"))
    shown = zoom if zoom in ZOOMS else "week"
    on = (datetime(2031, 5, 5, tzinfo=UTC) + timedelta(days=days)).date()
    assert f"/time/?zoom={shown}&amp;from={on}&amp;q=case" in page
    assert f'href="/time/?zoom={shown}&amp;from=2031-05-05&amp;q=case" aria-current="true"' in page


@pytest.mark.django_db
@pytest.mark.parametrize(
    "query", ["from=yesterday", "from=0001-01-01", "from=9999-12-31", "zoom=%00", "q=%00", "from=%00"]
)
def test_an_address_that_nobody_was_given_does_no_harm(reader, query: str) -> None:
    KitFactory()
    assert reader("viewer").get(f"/time/?{query}").status_code == 200


@pytest.mark.django_db
def test_words_narrow_kits_and_units(reader) -> None:
    KitFactory(name="Case 1")
    KitFactory(name="Trunk")
    booked(show(), unit=UnitFactory(spec__name="Camera").pk)
    page = text(reader("viewer").get("/time/?q=case"))
    assert "Case 1" in page
    assert "Trunk" not in page
    assert "Camera" not in page
    assert "Nothing goes by these words" in text(reader("viewer").get("/time/?q=nowhere"))


@pytest.mark.django_db
def test_days_are_those_of_the_store(reader) -> None:
    Company.objects.update(timezone="Pacific/Auckland")
    event = show("Choirs")
    booked(event, kit=KitFactory().pk)
    Event.objects.filter(pk=event).update(gear_out_at=MONDAY, gear_back_at=MONDAY + timedelta(hours=2))
    page = text(reader("viewer").get("/time/?zoom=day&from=2031-05-05"))
    assert "Mon 5 May" in page


@pytest.mark.django_db
def test_what_people_typed_stays_text(reader) -> None:
    nasty = "<script>alert(1)</script>"
    kit = KitFactory(name=nasty)
    booked(show(nasty), kit=kit.pk)
    assert nasty not in text(reader("viewer").get("/time/"))
