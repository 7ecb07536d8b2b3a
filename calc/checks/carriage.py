"""Getting it there: who lifts it, and what may fly."""

from collections.abc import Iterator

from calc.batteries import APPROVAL_MOST_WH, CABIN_MOST_WH, air_transport, watt_hours
from calc.checking.compared import against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.lifting import ASSUMED_HANDS, people_needed, recommended_limit, team_limit_kg
from calc.rig.brief import Lift
from calc.rig.inputs import Input, reading
from calc.rig.kit import Kit
from calc.rig.subjects import about, about_kit
from calc.rig.weights import known_kg, parts_of
from calc.rig.wiring import Place, Wired, own_places

OURS = ("company", "loose")
"""Whose things travel with us."""


@check("too-heavy", ("caution", "note"), "NIOSH 94-110; HSE L23")
def too_heavy(wired: Wired) -> Iterator[Draft]:
    """A kit weighs more than the people who are to lift it there may lift by hand.

    A kit of which nothing is said is held against what one person may lift with both hands close and nothing in the
    way: beyond that it is a note, which tells how many people it takes.
    """
    stated = [kit for kit, brief in wired.briefs if brief.lifts]
    for unasked in wired.kits if None not in stated else ():
        if not any(unasked is one for one in stated):
            yield from _by_assumed_hands(wired, unasked)
    for kit, brief in wired.briefs:
        for lift in brief.lifts:
            for lifted in [kit] if kit is not None else _brought_along(wired):
                yield from _lifted(wired, lifted, lift)


def _by_assumed_hands(wired: Wired, kit: Kit) -> Iterator[Draft]:
    load_kg = known_kg(parts_of(wired, kit))
    one_kg = recommended_limit(**ASSUMED_HANDS).limit_kg
    if kit.belongs != "company" or load_kg <= one_kg:
        return
    yield judged(
        about_kit(wired, kit),
        f"{_way_to_lift(load_kg, one_kg)}: {kit.name} weighs {load_kg:g} kg, and one person may lift {one_kg:g} kg "
        "close to the body. Say where it is lifted for a closer answer.",
        against(load_kg, one_kg, "kg"),
        severity="note",
        inputs=(Input(name="one person, kg", value=one_kg, provenance="assumed"),),
    )


def _brought_along(wired: Wired) -> Iterator[Kit]:
    """Return the kits of the company, each of which is lifted as one; loose units and what others bring are not."""
    yield from (kit for kit in wired.kits if kit.belongs == "company")


def _lifted(wired: Wired, kit: Kit, lift: Lift) -> Iterator[Draft]:
    parts = parts_of(wired, kit)
    unweighed = [part for part in parts if part.spec.weight_kg is None]
    load_kg = known_kg(parts)
    one_kg = lift.one_person_limit_kg()
    limit_kg = team_limit_kg(one_kg, lift.people)
    inputs = (
        Input(name="where", value=lift.name),
        Input(name="one person there, kg", value=one_kg),
        Input(name="people", value=lift.people),
        *(Input(name=f"{part.name}: weight_kg", value=None, provenance="unknown") for part in unweighed[:1]),
    )
    if load_kg > limit_kg:
        yield judged(
            about_kit(wired, kit),
            f"{_way_to_lift(load_kg, one_kg)} at {lift.name}: {kit.name} weighs "
            f"{'at least ' if unweighed else ''}{load_kg:g} kg, and {_hands(lift.people)} may lift "
            f"{limit_kg:.1f} kg there.",
            against(load_kg, limit_kg, "kg"),
            inputs=inputs,
        )
    elif unweighed:
        yield undecided(
            unweighed[0].subject,
            f"Weigh {unweighed[0].name}: only then is it known whether {_hands(lift.people)} may lift {kit.name} "
            f"at {lift.name}.",
            unlocks="weight_kg",
            inputs=inputs,
            of_spec=unweighed[0].spec.id,
        )


def _hands(people: int) -> str:
    return "one person" if people == 1 else f"{people} people"


def _way_to_lift(load_kg: float, one_person_kg: float) -> str:
    people = people_needed(load_kg, one_person_kg)
    return "Use a ramp, a lift or several cases" if people is None else f"Lift it with {people} people"


@check("battery-transport", ("stop", "caution"), "ICAO technical instructions")
def battery_transport(wired: Wired) -> Iterator[Draft]:
    """A battery flies as baggage: caution above 100 Wh, which the operator must approve, stop above 160 Wh."""
    flying = [kit for kit, brief in wired.briefs if brief.transport == "air"]
    by_id = {place.id: place for kit in flying for place in own_places(wired, kit)}
    for place in by_id.values():
        if place.spec.battery is None or place.kit.belongs not in OURS:
            continue
        volts, amp_hours = place.spec.battery.volts, place.spec.battery.amp_hours
        inputs = (reading(place, "battery", "volts"), reading(place, "battery", "amp_hours"))
        if volts is None or amp_hours is None:
            field = "volts" if volts is None else "amp_hours"
            yield undecided(
                about(place),
                f"Enter the {'volts' if volts is None else 'amp hours'} of {place.path}: it is to fly.",
                unlocks=f"battery.{field}",
                inputs=inputs,
            )
        else:
            yield from _flying(place, watt_hours(volts, amp_hours), inputs)


def _flying(place: Place, wh: float, inputs: tuple[Input, ...]) -> Iterator[Draft]:
    may = air_transport(wh)
    if may == "cabin":
        return
    limit_wh = CABIN_MOST_WH if may == "approval" else APPROVAL_MOST_WH
    message = (
        f"Ask the airline to approve {place.path} in the cabin: it has {wh:.3g} Wh, and {limit_wh:g} Wh is the most "
        "that flies without asking."
        if may == "approval"
        else f"Send {place.path} as declared freight, by people trained for it: it has {wh:.3g} Wh, and "
        f"{limit_wh:g} Wh is the most that flies as baggage."
    )
    yield judged(
        about(place),
        message,
        against(wh, limit_wh, "Wh"),
        severity="caution" if may == "approval" else "stop",
        inputs=inputs,
    )
