"""Heat in a closed case: what it reaches, what a fan must move, and what happens without the fan.

All heat is taken as spread evenly inside; measure a case before you rely on one.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf

from calc.assumptions import case_build
from calc.checking.asking import field_words
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.given import Given, widest
from calc.heat import CaseTemperatures, airflow_m3h, installed_airflow_m3h
from calc.rig.inputs import Input, reading
from calc.rig.subjects import Subject, about
from calc.rig.warm_cases import WarmCase, temperatures, warm_cases
from calc.rig.wiring import Place, Wired

BALANCE = "heat balance, IEC/TR 60890"
CLOSE_K = 5.0
"""Less than this to the weakest part is too close. [K]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weakest:
    """The part that bears least heat."""

    place: Place
    limit_c: float
    is_known: bool
    """Whether every warm part says what it bears."""


@check("case-hot", ("stop", "caution"), BALANCE)
def case_hot(wired: Wired) -> Iterator[Draft]:
    """It gets hotter inside than the weakest part may: stop; in still air or black in the sun, or within 5 K: caution.

    A stop holds at the better end of what is around the case, the first caution at the worse end: still air, and a
    black lid where it is said to stand in the sun.
    """
    for warm in warm_cases(wired):
        weakest, least = _weakest(wired, warm), temperatures(warm, warm.heat_w.low, "mild")
        harsh, reached = temperatures(warm, warm.heat_w.low), _reached(warm, weakest)
        if least is None or harsh is None or reached is None or weakest is None:
            yield from _ask(wired, warm, reached)
        elif reached.low > weakest.limit_c:
            yield _hot(wired, warm, weakest, reached, reached.low)
        elif least.running_c > weakest.limit_c and warm.silent_fan is not None:
            yield _ask_fan(warm, warm.silent_fan, reached)
        elif harsh.running_c > weakest.limit_c and warm.silent_fan is None and warm.stands != "outdoors":
            yield _hot(wired, warm, weakest, reached, harsh.running_c, severity="caution")
        elif reached.high > weakest.limit_c or not weakest.is_known:
            yield from _ask(wired, warm, reached)
        elif reached.high > weakest.limit_c - CLOSE_K:
            yield _hot(wired, warm, weakest, reached, reached.high, severity="caution")


def _reached(warm: WarmCase, weakest: Weakest | None) -> Compared | None:
    """Return how warm it gets inside, at both ends of its heat and of what is around it; None: nobody can say. [°C]

    A fan that states no flow may do anything between nothing and holding the ambient temperature. A part that does
    not state what it bears may be weaker than the weakest that does: then a case within that one has no limit yet.
    """
    low, high = temperatures(warm, warm.heat_w.low, "mild"), temperatures(warm, warm.heat_w.high)
    if low is None or warm.kit.ambient_celsius is None:
        return None
    reached = Compared(
        low=low.running_c if warm.silent_fan is None else warm.kit.ambient_celsius,
        high=inf if high is None else high.running_c,
        unit="°C",
    )
    if weakest is None or (reached.high <= weakest.limit_c and not weakest.is_known):
        return reached
    return replace(reached, limit=weakest.limit_c)


def _weakest(wired: Wired, warm: WarmCase) -> Weakest | None:
    limits = {place_id: _bears_c(wired.places[place_id]) for place_id in warm.parts}
    known = {place_id: limit for place_id, limit in limits.items() if limit is not None}
    if not known:
        return None
    place_id = min(known, key=lambda one: known[one])
    return Weakest(place=wired.places[place_id], limit_c=known[place_id], is_known=len(known) == len(limits))


def _bears_c(place: Place) -> float | None:
    return place.spec.cooling.max_ambient_celsius if place.spec.cooling is not None else None


def _hot(
    wired: Wired, warm: WarmCase, weakest: Weakest, reached: Compared, inside_c: float, severity: str = "stop"
) -> Draft:
    where = "".join(
        words
        for holds, words in ((_air_matters(warm), " in still air"), (warm.stands == "sun", " in full sun"))
        if holds and severity == "caution"
    )
    advice = f"Shade {warm.case.path}, cool it" if warm.stands == "sun" else f"Cool {warm.case.path}"
    return judged(
        about(warm.case),
        f"{advice} or take heat out of it: it reaches {inside_c:.0f} °C inside with the lid shut{where}, "
        f"and {weakest.place.path} is rated to {weakest.limit_c:g} °C.",
        reached,
        severity=severity,
        value=inside_c,
        inputs=_inputs(wired, warm),
    )


def _air_matters(warm: WarmCase) -> bool:
    return warm.wall_k("mild") != warm.wall_k("harsh")


def _inputs(wired: Wired, warm: WarmCase) -> tuple[Input, ...]:
    build, spec = case_build(warm.kit.build), warm.case.spec
    return (
        Input(name="build", value=build.value, provenance=build.provenance),
        Input(name="walls, W/(m²·K)", value=_wall_words(warm), provenance=build.provenance),
        Input(name="stands", value=warm.stands or "shade", provenance="data sheet" if warm.stands else "assumed"),
        Input(name="ambient_celsius", value=warm.kit.ambient_celsius, provenance=_known(warm.kit.ambient_celsius)),
        *(
            Input(name=f"{warm.case.path}: {name}", value=getattr(spec, name), provenance=_known(getattr(spec, name)))
            for name in ("width_mm", "depth_mm", "height_mm")
        ),
        *(_heat_input(wired.places[place_id], part) for place_id, part in warm.parts.items()),
        *(reading(wired.places[place_id], "cooling", "max_ambient_celsius") for place_id in warm.parts),
    )


def _heat_input(place: Place, part: Given) -> Input:
    """Return the heat of a part, under a name of its own: ``part.name`` is the number that it was worked out from."""
    return Input(name=f"{place.path}: heat_w", value=part.high if part.settled else None, provenance=part.provenance)


def _wall_words(warm: WarmCase) -> float | str:
    """Return what the walls let through: one number, or both ends from still to moving air. [W/(m²·K)]"""
    still, moving = warm.wall_k("harsh"), warm.wall_k("mild")
    return still if still == moving else f"{still:g} in still air, {moving:g} in moving air"


def _known(value: float | None) -> str:
    return "unknown" if value is None else "data sheet"


def _ask(wired: Wired, warm: WarmCase, reached: Compared | None) -> Iterator[Draft]:
    """Ask for the one number without which nobody can say how warm a case gets."""
    spec, inputs = warm.case.spec, _inputs(wired, warm)
    rest = f"only then is it known how warm {warm.case.path} gets"
    size = next((name for name in ("width_mm", "depth_mm", "height_mm") if getattr(spec, name) is None), None)
    open_part = widest(warm.parts.values())
    silent = next((place_id for place_id in warm.parts if _bears_c(wired.places[place_id]) is None), None)
    if size is not None:
        yield undecided(
            about(warm.case), f"Enter {field_words(size)} of {spec.name}: {rest}.", unlocks=size, inputs=inputs
        )
    elif warm.kit.ambient_celsius is None:
        yield undecided(
            Subject(position=warm.case.id, label=warm.case.label),
            f"Enter the ambient temperature that {warm.case.path} works in: {rest}.",
            unlocks="kit.ambient_celsius",
            inputs=inputs,
        )
    elif warm.stands == "outdoors" and _is_sun_decisive(warm, reached):
        yield undecided(
            about(warm.case),
            f"Say whether {warm.case.path} stands in the sun: {rest}.",
            unlocks="brief.stands",
            compared=reached,
            inputs=inputs,
        )
    elif open_part is not None:
        place = wired.places[next(place_id for place_id, part in warm.parts.items() if part is open_part)]
        yield undecided(
            about(place),
            f"Enter {field_words(open_part.name)} of {place.path}: {rest}.",
            unlocks=open_part.name,
            compared=reached,
            inputs=inputs,
        )
    elif silent is not None:
        place = wired.places[silent]
        yield undecided(
            about(place),
            f"Enter the temperature that {place.spec.name} is rated to: only then is it known whether "
            f"{warm.case.path} gets too warm for it.",
            unlocks="cooling.max_ambient_celsius",
            compared=reached,
            inputs=inputs,
        )


def _is_sun_decisive(warm: WarmCase, reached: Compared | None) -> bool:
    """Tell whether a case is cool enough at its most in the shade, and not in the sun."""
    in_shade = temperatures(replace(warm, stands="shade"), warm.heat_w.high)
    limit = reached.limit if reached is not None else None
    return limit is not None and in_shade is not None and in_shade.running_c <= limit


def _ask_fan(warm: WarmCase, fan: Place, reached: Compared | None) -> Draft:
    return undecided(
        about(fan),
        f"Enter the airflow of {fan.spec.name}: only then is it known whether {warm.case.path} stays cool enough.",
        unlocks="cooling.fan_m3h",
        compared=reached,
    )


@check("fan-short", "caution", BALANCE)
def fan_short(wired: Wired) -> Iterator[Draft]:
    """The fans as installed move less air than the heat inside needs, and the walls alone are not enough."""
    for warm, weakest, state in _fanned(wired):
        room_k = weakest.limit_c - (warm.kit.ambient_celsius or 0.0)
        if state.fan_dead_c <= weakest.limit_c or room_k <= 0 or warm.fan_m3h is None:
            continue
        needed, installed = airflow_m3h(warm.heat_w.high, room_k), installed_airflow_m3h(warm.fan_m3h)
        if installed >= needed:
            continue
        yield judged(
            about(warm.fans[0]),
            f"Fit a stronger fan in {warm.case.path}: {installed:.1f} m³/h as installed, {needed:.1f} m³/h are needed.",
            against(installed, needed, "m³/h", at_least=True),
            inputs=(Input(name="fan_m3h, free air", value=warm.fan_m3h), *_inputs(wired, warm)),
        )


@check("fan-dead", "caution", BALANCE)
def fan_dead(wired: Wired) -> Iterator[Draft]:
    """With its fan the case stays cool enough; with the fan stopped, or with one of several, it does not."""
    for warm, weakest, state in _fanned(wired):
        if state.running_c > weakest.limit_c or state.fan_dead_c <= weakest.limit_c:
            continue
        yield judged(
            about(warm.fans[0]),
            f"Watch the fan of {warm.case.path}: without it the case reaches {state.fan_dead_c:.0f} °C, and "
            f"{weakest.place.path} is rated to {weakest.limit_c:g} °C.",
            against(state.fan_dead_c, weakest.limit_c, "°C"),
            inputs=(Input(name="fan_m3h, free air", value=warm.fan_m3h), *_inputs(wired, warm)),
        )


def _fanned(wired: Wired) -> Iterator[tuple[WarmCase, Weakest, CaseTemperatures]]:
    """Return the cases with a fan of which everything is known."""
    for warm in warm_cases(wired):
        weakest, state = _weakest(wired, warm), temperatures(warm, warm.heat_w.high)
        if warm.fan_m3h is not None and weakest is not None and state is not None:
            yield warm, weakest, state
