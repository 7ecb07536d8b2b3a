"""Getting it there: who lifts it, and what may fly."""

from collections.abc import Iterator

from calc.batteries import APPROVAL_MOST_WH, CABIN_MOST_WH, air_transport, watt_hours
from calc.brief import Lift
from calc.checks.asked import about_kit
from calc.checks.drafts import Draft, Input, about, reading, undecided
from calc.checks.registry import check
from calc.kit import Kit
from calc.lifting import people_needed, team_limit_kg
from calc.wiring import Place, Wired


@check("too-heavy", "caution", "NIOSH 94-110; HSE L23")
def too_heavy(wired: Wired) -> Iterator[Draft]:
    """A kit weighs more than the people who are to lift it there may lift by hand."""
    for kit, brief in wired.briefs:
        for lift in brief.lifts:
            for lifted in [kit] if kit is not None else wired.kits:
                yield from _lifted(wired, lifted, lift)


def _lifted(wired: Wired, kit: Kit, lift: Lift) -> Iterator[Draft]:
    things = _things(wired, kit)
    unweighed = [place for place in things if place.spec.weight_kg is None]
    load_kg = sum(place.spec.weight_kg or 0.0 for place in things)
    one_kg = lift.one_person_limit_kg()
    limit_kg = team_limit_kg(one_kg, lift.people)
    inputs = (
        Input(name="where", value=lift.name),
        Input(name="one person there, kg", value=one_kg),
        Input(name="people", value=lift.people),
        *(Input(name=f"{place.path}: weight_kg", value=None, provenance="unknown") for place in unweighed[:1]),
    )
    if load_kg > limit_kg:
        yield Draft(
            subject=about_kit(wired, kit),
            value=load_kg,
            limit=limit_kg,
            margin=limit_kg - load_kg,
            unit="kg",
            message=f"{_way_to_lift(load_kg, one_kg)} at {lift.name}: {kit.name} weighs "
            f"{'at least ' if unweighed else ''}{load_kg:g} kg, and {lift.people} may lift {limit_kg:.1f} kg there.",
            inputs=inputs,
        )
    elif unweighed:
        yield undecided(
            about(unweighed[0]),
            f"Weigh {unweighed[0].path}: only then is it known whether {lift.people} may lift {kit.name} "
            f"at {lift.name}.",
            unlocks="weight_kg",
            inputs=inputs,
        )


def _way_to_lift(load_kg: float, one_person_kg: float) -> str:
    people = people_needed(load_kg, one_person_kg)
    return "Use a ramp, a lift or several cases" if people is None else f"Lift it with {people} people"


def _things(wired: Wired, kit: Kit) -> list[Place]:
    """Return the places of a kit and of the kits nested in it; the case of a nested one is where it lies."""
    return [
        place
        for place in wired.places.values()
        if any(there is kit or _lies_in(there, kit) for there in (place.kit, place.position.nested) if there)
    ]


def _lies_in(inner: Kit, outer: Kit) -> bool:
    nested = [position.nested for position in outer.positions if position.nested is not None]
    return any(kit is inner or _lies_in(inner, kit) for kit in nested)


@check("battery-transport", ("stop", "caution"), "ICAO technical instructions")
def battery_transport(wired: Wired) -> Iterator[Draft]:
    """A battery flies as baggage: caution above 100 Wh, which the operator must approve, stop above 160 Wh."""
    if not any(brief.transport == "air" for _, brief in wired.briefs):
        return
    for place in wired.places.values():
        if place.spec.battery is None:
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
    advice = (
        f"Ask the operator to approve {place.path} in the cabin"
        if may == "approval"
        else f"Send {place.path} as declared freight, by people trained for it"
    )
    yield Draft(
        subject=about(place),
        severity="caution" if may == "approval" else "stop",
        value=wh,
        limit=limit_wh,
        margin=limit_wh - wh,
        unit="Wh",
        message=f"{advice}: {wh:g} Wh, beyond {limit_wh:g}.",
        inputs=inputs,
    )
