"""Every page of the service, as the demo company has it: where a sweep, a checker and a camera go.

A stop is an address, or a form that is sent there and not carried out. ``tests.browser.test_tour`` says which page is
missing here.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

Sent = dict[str, str]
DIV, TABLE = "<div>{}</div>", "<table>{}</table>"
ROWS = "<table><thead><tr><th>1</th><th>2</th><th>3</th></tr></thead><tbody>{}</tbody></table>"


@dataclass(frozen=True, slots=True)
class Stop:
    name: str
    address: str
    sent: Sent = field(default_factory=dict)
    """The form that is sent to the address; empty: it is read."""
    status: int = 200
    who: str = "owner"
    """Who looks; empty: nobody, who has not signed in."""
    wrap: str = ""
    """Markup around a part that a script asks for; empty: it is a whole page."""
    alike: bool = False
    """A page of the tour with other rows or another refusal in it: its size and weight are looked at, and no more."""


WITH_TABLES = frozenset({"findings", "checks", "fields", "verbs", "power-over-ethernet"})
"""Documents in which everything stands that a document can have."""


def tour() -> list[Stop]:
    """Return every stop, nobody's last; the demo company must have been told and its kits checked."""
    return [
        *_kits(),
        *_kit_forms(),
        *_specs(),
        *_units(),
        *_events(),
        *_bookings(),
        *_venues(),
        *_free(),
        *_people(),
        *_words(),
    ]


def _stale(**given: str) -> Sent:
    """Return a form made before anybody did anything."""
    return {"version": "0", "ledger": "0", **given}


def _fresh(row: Any, **given: str) -> Sent:
    """Return a form made from a row as it stands."""
    from inventory.base.changes import ledger_version

    return {"version": str(row.version), "ledger": str(ledger_version()), **given}


def _typed(at: datetime) -> str:
    return f"{at:%Y-%m-%dT%H:%M}"


def _kits() -> Iterator[Stop]:
    from fixtures import known
    from inventory.models import Finding

    kits = known.kits()
    network, draft = kits["Stage network case"], kits["Stage network case, second build (planned)"]
    case, stopped = f"/kits/{network}/", f"/kits/{kits['Stream case']}/"
    finding = Finding.objects.filter(check_run__kit=kits["Stream case"], severity="stop").latest("pk").pk
    yield Stop("kits", "/kits/")
    yield Stop("kits with a stop", "/kits/?verdict=stop", alike=True)
    yield Stop("kits, none found", "/kits/?q=zither", alike=True)
    yield Stop("kit", case)
    yield Stop("kit with stops", stopped)
    yield Stop("kit with something not known", f"/kits/{kits['Village green box']}/", alike=True)
    yield Stop("kit, large", f"/kits/{kits['Theatre rack']}/", alike=True)
    yield Stop("kit, a draft", f"/kits/{draft}/")
    yield Stop("kit, to a viewer", f"/kits/{kits['Choir intercom case']}/", who="viewer")
    yield Stop("lid, a part", f"{case}lid/", wrap=DIV)
    yield Stop("wiring", f"{case}wiring/", alike=True)
    yield Stop("wiring, a part", f"{case}wiring/", wrap=DIV)
    yield Stop("kit, what it is for", f"{case}brief/")
    yield Stop("kit, what it is for, more", f"{case}brief/?part=segments", {"verb": "more"})
    yield Stop("accept", f"{stopped}findings/{finding}/")
    yield Stop("accept, refused", f"{stopped}findings/{finding}/", {"reason": ""}, 400, alike=True)


def _kit_forms() -> Iterator[Stop]:
    from fixtures import known
    from inventory.models import Kit, Link, Position

    kits = known.kits()
    network, draft = kits["Stage network case"], kits["Stage network case, second build (planned)"]
    case = f"/kits/{network}/"
    place = f"{case}positions/{Position.objects.filter(kit=network, role='required').earliest('pk').pk}/"
    yield Stop("kit, new", "/kits/new/")
    yield Stop("kit, new, refused", "/kits/new/", {"case": "T99999"}, 400)
    yield Stop("kit, about it", f"{case}edit/")
    yield Stop("kit, about it, after somebody else", f"{case}edit/", _stale(name="Case"), 412, alike=True)
    yield Stop("kit, out of use", f"{case}use/")
    yield Stop("kit, a draft, out of use", f"/kits/{draft}/use/", alike=True)
    yield Stop("draft", f"{case}draft/")
    planned = Kit.objects.get(drafted_from=kits["Stream case"])
    yield Stop("adopt", f"/kits/{planned.pk}/adopt/")
    yield Stop("adopt, tried", f"/kits/{planned.pk}/adopt/", _fresh(planned, verb="try"))
    yield Stop("compare", "/kits/compare/", alike=True)
    yield Stop("compare, two that differ", f"/kits/compare/?a={network}&b={draft}")
    yield Stop("compare, refused", "/kits/compare/?a=0&b=0", status=400, alike=True)
    yield Stop("measuring", "/measuring/")
    yield Stop("position, new", f"{case}positions/new/")
    yield Stop("position, new, refused", f"{case}positions/new/", _stale(label="", unit="T9"), 400, alike=True)
    yield Stop("pack", place)
    yield Stop("pack, a part", place, wrap=ROWS)
    yield Stop("pack, left, a part", f"{place}?leave", wrap=ROWS)
    yield Stop("pack, after somebody else", place, _stale(tag="T0129Z"), 412)
    camera = str(known.sheets()["camera fixed"])
    yield Stop("place, another type", f"{place}type/")
    yield Stop("place, another type, what does not stay", f"{place}type/", _stale(spec=camera))
    lines = _stale(verb="read", lines="case LAN 1-2 rear; switch A 4-5\nnowhere 1; switch A 1")
    yield Stop("links, as lines", f"{case}links/")
    yield Stop("links, as lines, refused", f"{case}links/", lines, 400)
    yield Stop("links, as lines, read", f"{case}links/", {**lines, "lines": "case LAN 1-2 rear; switch A 4-5"})
    yield Stop("link, moved", f"{case}links/{Link.objects.filter(kit=network).earliest('pk').pk}/", alike=True)
    yield Stop("link, new", f"{case}links/new/")
    yield Stop("link, new, refused", f"{case}links/new/", _stale(label="left"), 400, alike=True)
    yield Stop("link, remove", f"{case}links/{Link.objects.filter(kit=network).earliest('pk').pk}/remove/")


def _specs() -> Iterator[Stop]:
    from fixtures import known

    sheet = f"/specs/{known.sheets()['switch 120 W']}/"
    yield Stop("specs", "/specs/")
    yield Stop("specs, none found", "/specs/?q=zither&kind=camera", alike=True)
    yield Stop("spec", sheet)
    yield Stop("spec with many units", f"/specs/{known.sheets()['audio lead 10']}/", alike=True)
    yield Stop("spec, new", "/specs/new/")
    line = "1-4 8p8c 1G class4 out; 5-8 8p8 1G"
    yield Stop("spec, new, refused", "/specs/new/", {"name": "Switch", "kind": "switch", "ports_text": line}, 400)
    yield Stop(
        "spec, read back", "/specs/new/", {"verb": "read", "kind": "switch", "ports_text": line[:23]}, alike=True
    )
    yield Stop("spec, read back, a part", "/specs/new/", {"verb": "read", "ports_text": line[:23]}, wrap=DIV)
    yield Stop("spec, details", f"{sheet}edit/")
    yield Stop("spec, a number", f"{sheet}numbers/poe.budget_w/")
    yield Stop("spec, a number, refused", f"{sheet}numbers/poe.budget_w/", _stale(value="-5"), 400, alike=True)
    yield Stop("spec, more ports", f"{sheet}ports/")
    yield Stop("spec, a port", f"{sheet}ports/1/")


def _units() -> Iterator[Stop]:
    from fixtures import known
    from inventory.models import Fault, Unit

    broken = known.with_serial("LC-02")
    unit = f"/units/{broken}/"
    faults = Fault.objects.order_by("pk")
    tag = Unit.objects.values_list("tag", flat=True).get(pk=broken)
    yield Stop("bench", "/bench/")
    yield Stop("bench, to a viewer", "/bench/", who="viewer", alike=True)
    yield Stop("flag, a mistyped tag", f"/bench/flag/?tag={tag[:-1]}{'A' if tag[-1] != 'A' else 'B'}")
    yield Stop("flag, a tag of nothing", "/bench/flag/?tag=X1", alike=True)
    yield Stop("fault", f"/faults/{faults.filter(unit=broken).latest('pk').pk}/")
    yield Stop("fault, mended", f"/faults/{faults.filter(closed_at__isnull=False).earliest('pk').pk}/")
    yield Stop("unit, held back", unit)
    yield Stop("unit, in a kit", f"/units/{known.with_serial('CI-01')}/", alike=True)
    yield Stop("unit, lost", f"/units/{Unit.objects.filter(state='lost').earliest('pk').pk}/", alike=True)
    yield Stop("unit, where it is", f"{unit}edit/")
    yield Stop("unit, after somebody else", f"{unit}edit/", _stale(tag=tag), 412, alike=True)
    yield Stop("unit, another state", f"{unit}state/")
    yield Stop("unit, work", f"{unit}work/")
    yield Stop("unit, work, refused", f"{unit}work/", {"note": "", "cost": "-1"}, 400, alike=True)
    yield Stop("unit, back in service", f"{unit}back/")
    yield Stop("unit, test", f"{unit}test/")
    yield Stop("unit, test, refused", f"{unit}test/", {"passed": "yes", "what-1": "earth bond"}, 400, alike=True)
    yield Stop("unit, what broke", f"{unit}fault/")
    yield Stop("units, new", "/units/new/")
    yield Stop("units, new, refused", "/units/new/", {"quantity": "0", "tag": "a gap"}, 400, alike=True)
    yield Stop("find", "/find/")
    yield Stop("find by words", "/find/?q=case")
    yield Stop("find by words, a part", "/find/?q=case", wrap=DIV)
    yield Stop("find, nothing", "/find/?q=zither")
    yield Stop("find, a mistyped tag", f"/find/?q={tag[:-1]}{'A' if tag[-1] != 'A' else 'B'}", alike=True)


def _events() -> Iterator[Stop]:
    from fixtures import known
    from scheduling.models import Event

    events = known.events()
    short, asked = f"/events/{events['Festival at the ford']}/", f"/events/{events['Harvest fair']}/"
    show = Event.objects.get(name="Three Left Shoes, amateur play")
    edit = f"/events/{show.pk}/edit/"
    moved = {
        "name": show.name,
        "gear_out_at": _typed(show.gear_out_at - timedelta(days=28)),
        "gear_back_at": _typed(show.gear_back_at),
    }
    yield Stop("today", "/")
    yield Stop("today, to crew", "/", who="crew", alike=True)
    yield Stop("events", "/events/")
    yield Stop("events that were", "/events/?when=over", alike=True)
    yield Stop("events, none found", "/events/?q=zither", alike=True)
    yield Stop("event that is short", short)
    yield Stop("event under way", f"/events/{events['The Salt Road, second fortnight']}/?said=saved", alike=True)
    yield Stop("event, an enquiry", asked)
    yield Stop("event, cancelled", f"/events/{events['Night market']}/", alike=True)
    yield Stop("event, over", f"/events/{events['Maypole fair']}/", who="viewer", alike=True)
    yield Stop("event without a place", f"/events/{events['Lecture with pictures']}/", alike=True)
    yield Stop("short", f"{short}short/")
    yield Stop("short, a part", f"{short}short/", wrap=DIV)
    yield Stop("event, new", "/events/new/")
    yield Stop("event, new, refused", "/events/new/", {"name": "", "client": "Choir school"}, 400, alike=True)
    yield Stop("event, edit", edit)
    yield Stop("event, edit, in the way", edit, _fresh(show, **moved), 409)
    yield Stop("event, edit, tried", edit, _fresh(show, **moved, accept="on", verb="try"))
    yield Stop("event, confirm", f"{asked}confirm/")
    yield Stop("event, another day", f"{asked}copy/")
    yield Stop("event, close", f"{short}close/")
    yield Stop("event, cancel", f"{short}cancel/")
    yield Stop("event, cancel, after somebody else", f"{short}cancel/", _stale(), 412, alike=True)


def _bookings() -> Iterator[Stop]:
    from fixtures import known
    from inventory.models import Unit
    from scheduling.models import Booking, Shortfall

    taken = f"kit-{known.kits()['Theatre rack']}"
    booking = Booking.objects.get(event__name="Festival at the ford", kit__name="Power case")
    pencil = Booking.objects.filter(event__name="Harvest fair", state="pencil").earliest("pk")
    lacks = Shortfall.objects.filter(closed_at=None, booking__spec=None).earliest("pk")
    away = {
        "short": str(lacks.pk),
        "unit": str(Unit.objects.filter(spec=lacks.spec).exclude(pk=lacks.unit_id).get().pk),
    }
    one, other = f"/bookings/{booking.pk}/", f"/bookings/{pencil.pk}/"
    until = {"starts_at": _typed(booking.starts_at), "ends_at": _typed(booking.ends_at + timedelta(days=10))}
    order = f"/events/{known.events()['Festival at the ford']}/bookings/"
    rack = {"what": taken, "state": "confirmed"}
    many = {"what": f"spec-{known.sheets()['mains adapter']}", "quantity": "40", "state": "confirmed"}
    yield Stop("book", order)
    yield Stop("book, in the way", order, rack, 409)
    yield Stop("book, in the way, a part", order, rack, 409, wrap=DIV)
    yield Stop("book, not enough", order, many, 409, alike=True)
    yield Stop("book, nothing named", order, {"quantity": "0"}, 400, alike=True)
    yield Stop("booking", one)
    yield Stop("booking, a pencil", other)
    yield Stop("booking, confirm", f"{other}confirm/")
    yield Stop("booking, keep longer", f"{other}keep/")
    yield Stop("booking, ask for an answer", f"{other}challenge/", alike=True)
    yield Stop("booking, rank", f"{other}rank/", alike=True)
    yield Stop("booking, make it a pencil", f"{one}loosen/", alike=True)
    yield Stop("booking, another kit", f"{one}swap/")
    yield Stop("booking, along with the show", f"{one}follow/", alike=True)
    yield Stop("booking, another time", f"{one}extend/")
    yield Stop("booking, another time, in the way", f"{one}extend/", _fresh(booking, **until), 409)
    yield Stop(
        "booking, another time, tried", f"{one}extend/", _fresh(booking, **until, accept="on", verb="try"), alike=True
    )
    yield Stop("booking, give up", f"{one}cancel/")
    yield Stop("booking, stand-in refused", f"/bookings/{lacks.booking_id}/stand-in/", away, 409)


def _venues() -> Iterator[Stop]:
    from fixtures import known
    from scheduling.models import Venue

    venue = Venue.objects.get(pk=known.venues()["Old grain store theatre"])
    house = f"/venues/{venue.pk}/"
    circuit = f"{house}circuits/{venue.circuits.earliest('pk').pk}/"
    yield Stop("venues", "/venues/")
    yield Stop("venue", house)
    yield Stop("venue, new", "/venues/new/")
    yield Stop("venue, new, refused", "/venues/new/", {"timezone": "here", "lan_ranges": "all"}, 400, alike=True)
    yield Stop("venue, edit", f"{house}edit/")
    yield Stop("venue, after somebody else", f"{house}edit/", _stale(name="Barn", timezone="UTC"), 412, alike=True)
    yield Stop("circuit, new", f"{house}circuits/new/")
    yield Stop("circuit", circuit)
    yield Stop("circuit, remove", f"{circuit}remove/")


def _free() -> Iterator[Stop]:
    from fixtures import known

    kits, sheets, events = known.kits(), known.sheets(), known.events()
    ford = f"event={events['Festival at the ford']}&event={events['Open rehearsal']}"
    kit = f"{ford}&q=power&open=k{kits['Power case']}-0"
    spec = f"{ford}&q=adapter&show=specs&open=s{sheets['mains adapter']}-0"
    yield Stop("free", "/free/")
    yield Stop("free, a kit open", f"/free/?{kit}")
    yield Stop("free, a spec open", f"/free/?{spec}")
    yield Stop("free, a part", f"/free/?{ford}&show=specs", wrap=TABLE)
    yield Stop("free, a row, a part", f"/free/?{spec}", wrap=TABLE)
    asked = {"asked": kit, "event": str(events["Festival at the ford"]), "state": "confirmed"}
    yield Stop("free, in the way", "/free/", asked, 409)
    yield Stop(
        "free, other hours", "/free/?from=2031-05-05T08:00&until=2031-05-06T08:00&window=soon&kind=camera", alike=True
    )
    yield Stop("free, nothing asked that is there", "/free/?event=999999")
    for zoom in ("week", "day", "month", "quarter"):
        yield Stop(f"time, {zoom}", f"/time/?zoom={zoom}", alike=zoom in {"day", "month"})
    yield Stop("time, nothing found", "/time/?q=zither", alike=True)


def _people() -> Iterator[Stop]:
    from inventory.base.models import User

    crew = f"/people/{User.objects.get(username='crew').pk}/"
    yield Stop("people", "/people/")
    yield Stop("person, new", "/people/new/")
    yield Stop(
        "person, new, refused", "/people/new/", {"username": "crew", "role": "crew", "password": "1"}, 409, alike=True
    )
    yield Stop("person", crew)
    yield Stop("person, not permitted", crew, status=403, who="viewer")
    yield Stop("settings", "/settings/?saved")
    yield Stop("settings, to a viewer", "/settings/", who="viewer")
    yield Stop("settings, refused", "/settings/", _stale(name="Us", timezone="here", currency="euro"), 400, alike=True)
    yield Stop("account", "/account/")
    yield Stop("account, refused", "/account/", {"current": "wrong", "password": "1"}, 400, alike=True)


def _words() -> Iterator[Stop]:
    from web.documents import documents

    yield Stop("components", "/components/")
    yield Stop("nothing there", "/nowhere/", status=404)
    yield Stop("out of date", "/kits/new/", {"name": "Case", "csrfmiddlewaretoken": "old"}, 403)
    yield Stop("docs", "/docs/", who="")
    for slug in documents():
        yield Stop(f"docs, {slug}", f"/docs/{slug}/", who="", alike=slug not in WITH_TABLES)
    yield Stop("problems", "/problems/", who="")
    for code in ("stale", "claim-conflict"):
        yield Stop(f"problem, {code}", f"/problems/{code}", who="")
    yield Stop("sign in", "/sign-in/?next=/kits/", who="")
    yield Stop("sign in, refused", "/sign-in/", {"username": "owner", "password": "wrong"}, 401, who="")
    yield Stop("sign in, what was typed is kept", "/kits/new/", {"name": "Case"}, 401, who="")
