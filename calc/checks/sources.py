"""Sources of mains and direct current: joined by mistake, loaded beyond their rating, or missing altogether.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from collections.abc import Iterator

from calc.checking.asking import ask_demand
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.rig.behind import behind, head_of
from calc.rig.demand import demand, drawn, supplies_mains
from calc.rig.inputs import Input, as_input, port_reading, reading
from calc.rig.kinds import PASSING_KINDS
from calc.rig.lines import source_load
from calc.rig.subjects import about, about_port, name_of
from calc.rig.wiring import Hop, Node, Place, Wired, fed_by, outlets_of, poe_feeds, power_feeds
from calc.rig.wiring.power import gives_power
from calc.rules import rule_set

JOINED = "IEC 60364-4-41; IEC 60364-5-55, 551.7"


@check("sources-joined", "stop", JOINED)
def sources_joined(wired: Wired) -> Iterator[Draft]:
    """Two supplies of mains are joined: outlet to outlet by a lead, or by a box that both feed."""
    for joint in wired.joints:
        ends = (joint.a, joint.b)
        if all(wired.ports[node].carries == "mains" and gives_power(node, wired.ports[node]) for node in ends):
            yield Draft(
                subject=about_port(wired, joint.a),
                message=f"Take out the lead between {name_of(wired, joint.a)} and {name_of(wired, joint.b)}: both give "
                f"mains, so its free plug has live pins and one supply feeds into the other.",
                inputs=tuple(Input(name=name_of(wired, node), value="gives mains") for node in ends),
            )
    for place in wired.places.values():
        yield from _fed_twice(wired, place)


def _fed_twice(wired: Wired, place: Place) -> Iterator[Draft]:
    """Judge a box that passes mains on from several inlets to the same outlets, unless a switch keeps them apart."""
    sheet = place.spec.power
    if place.spec.kind not in PASSING_KINDS or (sheet is not None and sheet.inlets_apart):
        return
    fed = [power_feeds(wired).hops[node] for node in power_feeds(wired).inlets.get(place.id, ())]
    feeding = [hop for hop in fed if hop.is_fed and wired.ports[hop.load].carries == "mains"]
    feeding = [hop for hop in feeding if head_of(wired, hop.load) == hop.load]
    shared = [hop for hop in feeding if _shares_an_outlet(wired, hop, feeding)]
    if len({hop.source for hop in shared}) < 2:
        return
    sources = " and ".join(sorted(name_of(wired, hop.source) for hop in shared))
    yield Draft(
        subject=about(place),
        message=f"Feed {place.path} from one supply only: {sources} both feed its outlets, and work in parallel. If a "
        f"change-over switch keeps them apart, enter that on {place.spec.name}.",
        inputs=tuple(Input(name=name_of(wired, hop.load), value=name_of(wired, hop.source)) for hop in shared),
    )


def _shares_an_outlet(wired: Wired, hop: Hop, feeding: list[Hop]) -> bool:
    own = set(outlets_of(wired, hop.load))
    return any(own.intersection(outlets_of(wired, other.load)) for other in feeding if other is not hop)


@check("source-overload", "stop", "ISO 8528-1; IEC 62040-3")
def source_overload(wired: Wired) -> Iterator[Draft]:
    """More is drawn from a generator, an inverter or an uninterruptible supply than it is rated for.

    Where the legs of its outlets are written, each line gives its share of the rating at most.
    """
    for place_id, outlets in power_feeds(wired).outlets.items():
        place = wired.places[place_id]
        rated = place.spec.power.output_va if place.spec.power is not None else None
        mains = [outlet for outlet in outlets if wired.ports[outlet].carries == "mains"]
        hops = [hop for outlet in mains for hop in power_feeds(wired).by_source.get(outlet, ())]
        if rated is None or not hops:
            continue
        va = drawn(wired, (node for hop in hops for node in behind(wired, hop.load)))
        loaded = source_load(wired, mains)
        compared, given = against(va, rated, "VA"), f"it is rated {rated:g} VA"
        if compared.is_within and loaded.heaviest is not None:
            compared = against(loaded.worst, rated / len(loaded.each), "VA")
            given = f"{loaded.heaviest} gives {compared.limit:.0f} VA of its {rated:g} VA"
        yield from _judge_source(wired, place, hops, compared, given)


def _judge_source(wired: Wired, place: Place, hops: list[Hop], compared: Compared, given: str) -> Iterator[Draft]:
    if compared.is_within is None:
        asked = ask_demand(wired, hops, f"{place.path} carries it", compared)
        if asked is not None:
            yield asked
    elif not compared.is_within:
        yield judged(
            about(place),
            f"Feed less from {place.path}: {compared.low:.0f} VA are drawn from it, and {given}.",
            compared,
            inputs=(
                reading(place, "power", "output_va"),
                *(as_input(name_of(wired, hop.load), demand(wired).of_inlet[hop.load]) for hop in hops),
            ),
        )


@check("neutral-unbonded", "caution", "IEC 60364-5-55, 551.4; BS 7430 from memory")
def neutral_unbonded(wired: Wired) -> Iterator[Draft]:
    """Residual-current devices stand behind a source whose neutral is not bonded to earth: they see no fault.

    A generator, an inverter or an uninterruptible supply on its battery makes a neutral of its own. Unless that is
    bonded to earth, a first fault drives no current, and no device trips.
    """
    for place_id, outlets in power_feeds(wired).outlets.items():
        place = wired.places[place_id]
        mains = [outlet for outlet in outlets if wired.ports[outlet].carries == "mains"]
        guarded = next((node for outlet in mains for node in _guarded(wired, outlet)), None)
        sheet = place.spec.power
        bonded = sheet.neutral_bonded if sheet is not None else None
        if not mains or guarded is None or bonded or not supplies_mains(wired, place):
            continue
        word, earth = rule_set(place.kit.rules).residual_device_word, rule_set(place.kit.rules).earth_word
        if bonded is None:
            yield undecided(
                about(place),
                f"Enter whether the neutral of {place.spec.name} is bonded to {earth}: only then is it known whether "
                f"the {word} at {name_of(wired, guarded)} trips.",
                unlocks="power.neutral_bonded",
            )
            continue
        yield Draft(
            subject=about(place),
            message=f"Bond the neutral of {place.path} to {earth} at one point, or do not rely on the {word} at "
            f"{name_of(wired, guarded)}: without a bond it sees no fault.",
            inputs=(reading(place, "power", "neutral_bonded"), port_reading(wired, guarded, "power", "rcd_ma")),
        )


def _guarded(wired: Wired, outlet: Node) -> Iterator[Node]:
    """Yield the outlets with a residual-current device at or behind an outlet that feeds something."""
    hops = list(fed_by(wired, outlet))
    behind_it = [onward for hop in hops for onward in outlets_of(wired, hop.load)]
    for node in (outlet, *behind_it) if hops else ():
        power = wired.ports[node].power
        if power is not None and power.rcd_ma:
            yield node


@check("unfed", "stop", "common practice")
def unfed(wired: Wired) -> Iterator[Draft]:
    """Something with an inlet has no way to a source, although the rig is wired for that kind of power.

    An inlet that is led to the outside waits for the venue, and so does whatever feeds the rest of a kit in which
    nothing gives power by itself. A rig without any source or lead of the kind is not wired yet, and is not judged.
    """
    fed = power_feeds(wired)
    for carries in ("mains", "dc"):
        origins = [node for nodes in fed.outlets.values() for node in nodes if _is_origin(wired, node, carries)]
        is_wired = any(hop.is_fed and wired.ports[hop.load].carries == carries for hop in fed.hops.values())
        if not origins and not is_wired:
            continue
        for place_id, inlets in fed.inlets.items():
            own = [fed.hops[node] for node in inlets]
            if _waits_for_power(wired, wired.places[place_id], own, carries, has_origin=bool(origins)):
                yield _without_power(wired, own[0])


def _is_origin(wired: Wired, outlet: Node, carries: str) -> bool:
    inlets = power_feeds(wired).inlets.get(outlet[0], ())
    return wired.ports[outlet].carries == carries and all(wired.ports[node].carries != carries for node in inlets)


def _waits_for_power(wired: Wired, place: Place, hops: list[Hop], carries: str, *, has_origin: bool) -> bool:
    """Tell whether a place draws or passes on power of a kind, none reaches it, and nothing outside will bring it."""
    if place.is_spare or any(hop.is_fed for hop in hops) or place.id in poe_feeds(wired).by_device:
        return False
    if any(wired.ports[hop.load].carries != carries for hop in hops):
        return False  # another inlet may be the one that is used
    if any(hop.run.ending == "cut" or wired.ports[hop.run.end].face == "outside" for hop in hops):
        return False
    feeds_others = any(
        power_feeds(wired).by_source.get(outlet) for hop in hops for outlet in outlets_of(wired, hop.load)
    )
    is_entry = feeds_others and not has_origin
    is_loose = place.spec.kind in PASSING_KINDS and not feeds_others
    return not is_entry and not is_loose


def _without_power(wired: Wired, hop: Hop) -> Draft:
    return Draft(
        subject=about_port(wired, hop.load),
        message=f"Connect {name_of(wired, hop.load)} to a supply: no drawn connection brings it power.",
        inputs=(Input(name=name_of(wired, hop.load), value="not fed"),),
    )
