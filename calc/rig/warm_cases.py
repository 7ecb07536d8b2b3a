"""Closed cases with something warm in them, and how warm they get inside."""

from dataclasses import dataclass
from math import inf
from typing import Literal, TypeAlias

from calc.assumptions import case_build
from calc.given import Given, total
from calc.heat import (
    BLACK,
    STRONGEST_SUN_W_M2,
    VEILED_SUN_W_M2,
    WHITE,
    CaseTemperatures,
    case_temperatures_c,
    effective_area_m2,
    greatest_lit_share,
    sun_heat_w,
    sun_rise_c,
    wall_k_range_w_m2k,
)
from calc.rig.heat_sources import heat_w
from calc.rig.kit import Kit
from calc.rig.wiring import Place, Wired, own_places

Around: TypeAlias = Literal["mild", "harsh"]
"""The better and the worse end of what is around a case. ``mild``: air moves along its walls; if it stands in the sun,
that is veiled and the lid is white; outdoors it stands in the shade. ``harsh``: still air, the strongest sun on a black
lid, outdoors too."""


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
    stands: str | None
    """Where it stands while it works: one of ``calc.rig.brief.STANDS``; None: nobody has said."""

    @property
    def fan_m3h(self) -> float | None:
        """Return the free-air flow of its fans as far as they state it; None where nothing moves. [m³/h]"""
        return sum(_flow_m3h(fan) or 0.0 for fan in self.fans) or None

    @property
    def left_m3h(self) -> float | None:
        """Return what its fans move with the strongest of them stopped; None where nothing moves then. [m³/h]"""
        flows = sorted(_flow_m3h(fan) or 0.0 for fan in self.fans)
        return sum(flows[:-1]) or None

    def wall_k(self, around: Around) -> float:
        """Return what its walls let through. [W/(m²·K)]"""
        still, moving = wall_k_range_w_m2k(case_build(self.kit.build).value)
        return still if around == "harsh" else moving

    def sun_c(self, around: Around, lit_share: float) -> float:
        """Return how much warmer its surroundings count for the sun: nothing where it stands in the shade. [K]"""
        if around == "harsh" and self.stands in ("sun", "outdoors"):
            return sun_rise_c(STRONGEST_SUN_W_M2, BLACK, lit_share)
        return sun_rise_c(VEILED_SUN_W_M2, WHITE, lit_share) if self.stands == "sun" else 0.0

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
            found.append(
                WarmCase(
                    kit=kit, case=place, parts=warm, heat_w=all_w, inside=ids, fans=fans, stands=_stands(wired, place)
                )
            )
    return tuple(found)


def _is_closed(kit: Kit, case: Place) -> bool:
    spec = case.spec
    return kit.build is not None or None not in (spec.width_mm, spec.depth_mm, spec.height_mm)


def _stands(wired: Wired, case: Place) -> str | None:
    """Return where a case stands while it works: as its own kit says, else one around it, else the show."""
    said = {id(kit): brief.stands for kit, brief in wired.briefs if brief.stands is not None}
    kits = [id(kit) for kit in reversed(case.within)]
    return next((said[one] for one in (*kits, id(None)) if one in said), None)


def temperatures(warm: WarmCase, watts: float, around: Around = "harsh") -> CaseTemperatures | None:
    """Return how warm a case gets at that heat, or None if its size or the ambient is not known.

    With several fans, "stopped" is the strongest of them: no two fail at once.
    """
    spec, ambient = warm.case.spec, warm.kit.ambient_celsius
    if ambient is None or spec.width_mm is None or spec.depth_mm is None or spec.height_mm is None or watts == inf:
        return None
    sides_m = spec.height_mm / 1000, spec.width_mm / 1000, spec.depth_mm / 1000
    area_m2, k = effective_area_m2(*sides_m, "floor"), warm.wall_k(around)
    all_w = watts + sun_heat_w(warm.sun_c(around, greatest_lit_share(*sides_m)), area_m2, k)
    state = case_temperatures_c(all_w, ambient, area_m2, k, warm.fan_m3h)
    if warm.left_m3h is None:
        return state
    one_stopped = case_temperatures_c(all_w, ambient, area_m2, k, warm.left_m3h)
    return CaseTemperatures(running_c=state.running_c, fan_dead_c=one_stopped.running_c)
