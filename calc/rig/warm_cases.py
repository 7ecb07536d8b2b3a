"""Closed cases with something warm in them, and how warm they get inside."""

from dataclasses import dataclass
from math import inf

from calc.assumptions import case_build
from calc.given import Given, total
from calc.heat import CaseTemperatures, case_temperatures_c, effective_area_m2, wall_k_w_m2k
from calc.rig.heat_sources import heat_w
from calc.rig.kit import Kit
from calc.rig.wiring import Place, Wired, own_places


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmCase:
    """One closed case, and everything in it that gives off heat."""

    kit: Kit
    case: Place
    parts: dict[int, Given]
    """Place → its heat. [W]"""
    heat_w: Given
    """All the heat inside. [W]"""
    inside: frozenset[int]
    """Every place in it."""
    fans: tuple[Place, ...]

    @property
    def fan_m3h(self) -> float | None:
        """Return the free-air flow of its fans as far as they state it; None where nothing moves. [m³/h]"""
        return sum(_flow_m3h(fan) or 0.0 for fan in self.fans) or None

    @property
    def silent_fan(self) -> Place | None:
        """Return a fan that does not say what it moves."""
        return next((fan for fan in self.fans if _flow_m3h(fan) is None), None)


def _flow_m3h(fan: Place) -> float | None:
    return fan.spec.cooling.fan_m3h if fan.spec.cooling is not None else None


def warm_cases(wired: Wired) -> tuple[WarmCase, ...]:
    """Return the closed cases with something warm in them; a bag or an open rack is none."""
    return wired.once(_warm_cases)


def _warm_cases(wired: Wired) -> tuple[WarmCase, ...]:
    found = []
    for place in wired.places.values():
        kit = place.kit if place.position.role == "case" else place.position.nested
        if kit is None or not _is_closed(kit, place):
            continue
        inside = [other for other in own_places(wired, kit) if other.id != place.id]
        parts = {other.id: heat_w(wired, other) for other in inside}
        warm = {place_id: part for place_id, part in parts.items() if part.high > 0}
        if warm:
            fans = tuple(other for other in inside if other.spec.kind == "fan" and not other.is_spare)
            ids = frozenset(other.id for other in inside)
            all_w = total(warm.values(), "power.max_w")
            found.append(WarmCase(kit=kit, case=place, parts=warm, heat_w=all_w, inside=ids, fans=fans))
    return tuple(found)


def _is_closed(kit: Kit, case: Place) -> bool:
    spec = case.spec
    return kit.build is not None or None not in (spec.width_mm, spec.depth_mm, spec.height_mm)


def temperatures(warm: WarmCase, watts: float) -> CaseTemperatures | None:
    """Return how warm a case gets at that heat, or None if its size or the ambient is not known."""
    spec, ambient = warm.case.spec, warm.kit.ambient_celsius
    if ambient is None or spec.width_mm is None or spec.depth_mm is None or spec.height_mm is None or watts == inf:
        return None
    area_m2 = effective_area_m2(spec.height_mm / 1000, spec.width_mm / 1000, spec.depth_mm / 1000, "floor")
    k = wall_k_w_m2k(case_build(warm.kit.build).value)
    return case_temperatures_c(watts, ambient, area_m2, k, warm.fan_m3h)
