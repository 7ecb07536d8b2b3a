"""What each page of the demo company takes, against the selectors that it rests on, asked bare.

Past ten times, what stands around every page explains it, which is measured as well, or somebody looks at the page.
"""

import time
from collections.abc import Callable, Iterator
from datetime import timedelta
from itertools import chain
from statistics import median
from typing import Any

from tests.bench.database import prepare

ROUNDS = 20
Asked = tuple[str, list[Callable[[], object]]]
"""Name of a stop of the tour, and what its page asks."""


def measure() -> list[tuple[str, float, str]]:
    prepare()
    from django.test import Client

    from fixtures import demo
    from inventory.base.models import User
    from inventory.checks.drain import drain
    from tests.browser.tour import tour

    demo.tell()
    drain()
    client = Client()
    client.force_login(User.objects.get(username="owner"))
    addresses = {stop.name: stop.address for stop in tour()}
    around, _ = _seconds(lambda: client.get("/problems/stale").content, tuple)
    rows = [("around every page: who looks, the frame, the session", around * 1000, "ms")]
    for name, asked in chain.from_iterable(theme() for theme in THEMES):
        page, bare = _seconds(
            lambda name=name: client.get(addresses[name]).content, lambda asked=asked: [each() for each in asked]
        )
        rows.append((f"{name}: {page * 1000:.1f} ms, against its selectors", page / bare, "x"))
    return rows


def _seconds(*works: Callable[[], object]) -> list[float]:
    """Return the median time of each; they take turns, so that a busy machine is as slow for one as for the other."""
    times: list[list[float]] = [[] for _ in works]
    for turn in range(ROUNDS + 1):
        for work, taken in zip(works, times, strict=True):
            started = time.perf_counter()
            work()
            if turn:  # the first does not count
                taken.append(time.perf_counter() - started)
    return [median(taken) for taken in times]


def _kits() -> Iterator[Asked]:
    from django.utils import timezone

    from fixtures import known
    from inventory.base.history import history_rows, show_history
    from inventory.selectors import checks, compare, contents, drawings, kits, measuring
    from scheduling.selectors.kits import bookings_around

    now = timezone.now()
    of = known.kits()
    network, draft, large = (
        of["Stage network case"],
        of["Stage network case, second build (planned)"],
        of["Theatre rack"],
    )

    def kit(number: int) -> list[Callable[[], object]]:
        return [
            lambda: contents.kit_heading(number),
            lambda: drawings.kit_facts(number),
            lambda: checks.show_check(number),
            lambda: bookings_around(number, now),
            lambda: show_history(list(history_rows().filter(noun="kit", object_id=number)[:12])),
        ]

    yield "kits", [lambda: kits.show_kits(list(kits.kit_rows().order_by("name", "id")[:50]))]
    yield "kit", kit(network)
    yield "kit with stops", kit(of["Stream case"])
    yield "kit, large", kit(large)
    yield "kit, a draft", kit(draft)
    yield "wiring", kit(network)[:3]
    yield "kit, what it is for", kit(network)[:2]
    yield "pack", [*kit(network)[:2], lambda: contents.loose_units({1}, most=6)]
    yield "position, new", [kit(network)[0], contents.spec_choices]
    yield "link, new", [*kit(network)[:2], contents.spec_choices]
    yield (
        "compare, two that differ",
        [
            lambda: list(kits.kit_rows().order_by("name", "id").values_list("id", "name")),
            lambda: compare.compare_kits(network, draft, money=True),
        ],
    )
    yield "measuring", [measuring.numbers_worth_measuring]


def _sheets() -> Iterator[Asked]:
    from fixtures import known
    from inventory.base.history import history_rows, show_history
    from inventory.selectors import specs, whereabouts

    sheet = known.sheets()["switch 120 W"]

    def facts() -> object:
        return specs.spec_and_facts(sheet, money=True)

    yield "specs", [lambda: list(specs.spec_summaries().order_by("name", "id")[:50])]
    yield (
        "spec",
        [
            facts,
            lambda: whereabouts.show_whereabouts(list(whereabouts.whereabouts().filter(spec=sheet)[:101])),
            lambda: show_history(list(history_rows().filter(noun="spec", object_id=sheet)[:8])),
        ],
    )
    for form in ("spec, details", "spec, a number", "spec, a port"):
        yield form, [facts]


def _units() -> Iterator[Asked]:
    from django.db.models import Q
    from django.utils import timezone

    from fixtures import known
    from inventory.base.history import history_rows, show_history
    from inventory.models import Unit
    from inventory.selectors import bench, contents, people, places, specs
    from scheduling.selectors.promises import promises_of

    now = timezone.now()
    sheet, unit = known.sheets()["light console"], known.with_serial("LC-02")
    tag = Unit.objects.values_list("tag", flat=True).get(pk=unit)

    def record() -> object:
        return bench.unit_record(unit)

    def promises() -> object:
        return promises_of([unit], now)

    yield (
        "unit, held back",
        [
            record,
            promises,
            lambda: bench.fault_records(Q(unit=unit), money=True),
            lambda: bench.outages(Q(unit=unit), now),
            lambda: show_history(list(history_rows().filter(Q(noun="unit", object_id=unit) | Q(label=tag))[:12])),
        ],
    )
    yield "unit, where it is", [record, places.places, people.people_here]
    yield "unit, another state", [record, promises]
    yield "unit, what broke", [record, lambda: specs.ports_of_spec(sheet)]
    yield "units, new", [contents.spec_choices, places.places]


def _bench_and_find() -> Iterator[Asked]:
    from django.db.models import Q
    from django.utils import timezone

    from inventory.models import Fault
    from inventory.selectors import bench, find, tags
    from scheduling.selectors.find import found_shows
    from scheduling.selectors.promises import kit_promises, promises_of, shortfalls_caused_by

    now = timezone.now()
    fault = Fault.objects.filter(what="dead", closed_at=None).latest("pk")
    wrong = f"{fault.unit.tag[:-1]}A"
    yield (
        "bench",
        [
            lambda: promises_of([each["id"] for each in bench.units_on_the_bench()], now),
            lambda: bench.tests_due(now + timedelta(days=14)),
            lambda: bench.fault_records(Q(closed_at__isnull=True), money=False),
            lambda: bench.outages(Q(), now),
        ],
    )
    yield "flag, a mistyped tag", [lambda: tags.mistyped(wrong)]
    yield (
        "fault",
        [
            lambda: bench.fault_records(Q(pk=fault.pk), money=True),
            lambda: shortfalls_caused_by(fault.unit_id, now - timedelta(days=9), now),
        ],
    )
    yield (
        "find by words",
        [
            lambda: promises_of([each["id"] for each in find.found_units("case", most=31)], now),
            lambda: kit_promises([each["id"] for each in find.found_kits("case", most=11)], now),
            lambda: find.found_specs("case", most=11),
            lambda: found_shows("case", now, clients=True, most=11),
        ],
    )


def _today_and_events() -> Iterator[Asked]:
    from django.db.models import Q
    from django.utils import timezone

    from scheduling.selectors import programme, promises, today, venues

    now = timezone.now()
    soon = now + timedelta(days=14)
    coming = Q(gear_back_at__gt=now) & ~Q(state="cancelled")
    yield (
        "today",
        [
            today.beginnings,
            lambda: today.held_back(now),
            lambda: promises.shortfalls_beginning(soon, now),
            lambda: today.stopped_kits(soon, now),
            lambda: today.overdue(now),
            lambda: today.dock(now, now + timedelta(days=2), now),
        ],
    )
    yield "events", [lambda: list(programme.show_rows(now).filter(coming).order_by("gear_out_at", "id")[:50])]
    yield "event, new", [lambda: list(venues.venue_rows().order_by("name", "id"))]


def _one_event() -> Iterator[Asked]:
    from django.utils import timezone

    from fixtures import known
    from scheduling.models import Booking
    from scheduling.selectors import events, lines, programme, venues
    from scheduling.selectors.bookings import grave_findings

    now = timezone.now()
    ford, moved = known.events()["Festival at the ford"], known.events()["Three Left Shoes, amateur play"]
    venue = known.venues()["Village green at the ford"]
    booking = Booking.objects.get(event=ford, kit__name="Power case").pk
    kits = set(Booking.objects.filter(event=ford, kit__isnull=False).values_list("kit", flat=True))

    def show() -> object:
        return programme.one_show(ford, now)

    def line() -> object:
        return lines.line_of(booking, now)

    yield (
        "event that is short",
        [
            show,
            lambda: lines.lines_of_event(ford, now),
            lambda: events.phases_of(ford),
            lambda: grave_findings(kits),
            lambda: venues.circuits_of(venue),
            lines.things,
        ],
    )
    yield "short", [show, lambda: lines.with_alternatives(lines.shortfalls_of_event(ford, now), now)]
    yield "event, edit", [show, lambda: events.phases_of(moved), venues.venue_choices]
    yield "book", [show, lines.things]
    yield "booking, another time", [line, show]
    yield "booking, give up", [line, show]


def _venues() -> Iterator[Asked]:
    from fixtures import known
    from scheduling.selectors import venues

    venue = known.venues()["Old grain store theatre"]
    yield "venues", [lambda: venues.show_venues(list(venues.venue_rows().order_by("name", "id")[:500]))]
    for page in ("venue", "venue, edit", "circuit"):
        yield page, [lambda: venues.show_venues(list(venues.venue_rows().filter(pk=venue)))]


def _free() -> Iterator[Asked]:
    from django.utils import timezone

    from fixtures import known
    from scheduling.models import Event
    from scheduling.promises.decide import Period
    from scheduling.selectors import programme
    from scheduling.selectors.availability import Question, available
    from scheduling.selectors.availability.reasons import units_of_kit_in, units_of_spec_in
    from scheduling.selectors.availability.rows import kits_sought, specs_sought

    now = timezone.now()
    names = ("Festival at the ford", "Open rehearsal", "Children's choir day", "Quarry nights, opening")
    shown = [Event.objects.get(name=name) for name in names]
    four = [Period(show.gear_out_at, show.gear_back_at) for show in shown]
    two = four[:2]

    def free(windows: list[Period], words: str, *, kits: bool) -> Callable[[], object]:
        rows: Any = {"kits": kits_sought(words, None)} if kits else {"specs": specs_sought(words, (), None)}
        return lambda: available(Question(windows=windows, page=1, now=now, **{"kits": None, "specs": None, **rows}))

    def shows() -> object:
        return programme.shows_to_choose(now, [], most=40)

    kit, spec = known.kits()["Power case"], known.sheets()["mains adapter"]
    yield "free", [shows, free(four, "", kits=True)]
    yield "free, a kit open", [shows, free(two, "power", kits=True), lambda: units_of_kit_in(kit, two[0], now)]
    yield "free, a spec open", [shows, free(two, "adapter", kits=False), lambda: units_of_spec_in(spec, two[0], now)]


def _time() -> Iterator[Asked]:
    from django.utils import timezone

    from scheduling.promises.decide import Period
    from scheduling.selectors import calendar

    now = timezone.now()

    def stretches(window: Period) -> list[Callable[[], object]]:
        return [
            lambda: calendar.kit_stretches([each["id"] for each in calendar.kits_in_time("", most=100)], window, now),
            lambda: calendar.down_stretches(window, now, most=300),
            lambda: calendar.unit_stretches("", window, now, most=300),
            lambda: calendar.short_stretches(window, now, most=300),
        ]

    for zoom, days in (("day", 1), ("week", 7), ("month", 31), ("quarter", 91)):
        yield f"time, {zoom}", stretches(Period(now, now + timedelta(days=days)))


def _people() -> Iterator[Asked]:
    from inventory.base.models import User
    from inventory.selectors import company, people

    crew = User.objects.get(username="crew").pk
    yield "people", [lambda: [people.show_user(row) for row in people.user_rows()]]
    yield "person", [lambda: people.one_user(crew)]
    yield "settings", [company.show_company]
    yield "account", [lambda: people.own_tokens(crew)]


THEMES = (
    _kits, _sheets, _units, _bench_and_find, _today_and_events, _one_event, _venues, _free, _time, _people,
)  # fmt: skip
