"""What one person, or a few, may lift by hand.

The revised lifting equation covers two-handed lifting of a stable load, standing, on a sound floor; not carrying,
pushing, stairs, wet hands or cramped places. A figure within it is no promise; judge the place and the people.
"""

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from types import MappingProxyType
from typing import Any

from calc.errors import require_number, require_one_of

LOAD_CONSTANT_KG = 23.0
COUPLINGS = ("good", "fair", "poor")
LONGEST_H = 8.0
TEAM_SHARES = (1.0, 2 / 3, 1 / 2)
"""Share of the sum of what each may lift alone, for 1, 2, 3 people. Source: HSE L23 (three people from memory)."""

_FOUR_PEOPLE_SHARE = 1 / 2
"""No published figure covers four; that of three is kept. Common practice."""

ASSUMED_HANDS: Mapping[str, Any] = MappingProxyType(
    {
        "horizontal_cm": 25.0,
        "origin_cm": 75.0,
        "travel_cm": 25.0,
        "asymmetry_deg": 0.0,
        "lifts_per_min": 0.2,
        "duration_h": 1.0,
        "coupling": "good",
    }
)
"""Arguments of ``recommended_limit`` where nobody stated where the hands are: the most favourable ones, 23 kg.

A load above that limit is too heavy for one person however it is held; stated hands can only lower the limit.
Source: NIOSH 94-110, standard lifting location.
"""

_WAIST_CM = 75
_FREQUENCIES = (0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15)
_FREQUENCY_MULTIPLIERS = (  # by longest duration in hours: origin below 75 cm, origin at 75 cm and above
    (1, ((1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0, 0, 0),
         (1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28))),
    (2, ((0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0, 0, 0, 0, 0),
         (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0.23, 0.21, 0, 0, 0))),
    (8, ((0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0, 0, 0, 0, 0, 0, 0),
         (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0, 0, 0, 0, 0))),
)  # fmt: skip
_COUPLING_MULTIPLIERS = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.90, 0.90)}


@dataclass(frozen=True, slots=True, kw_only=True)
class RecommendedLimit:
    """The recommended weight limit and the multipliers that lower it, each 0 to 1."""

    limit_kg: float
    hm: float
    """Horizontal distance of the hands from the ankles."""
    vm: float
    """Height of the hands at the origin."""
    dm: float
    """Vertical travel."""
    am: float
    """Twist."""
    fm: float
    """How often, for how long."""
    cm: float
    """How well it can be held."""


def recommended_limit(
    horizontal_cm: float,
    origin_cm: float,
    travel_cm: float,
    asymmetry_deg: float,
    lifts_per_min: float,
    duration_h: float,
    coupling: str,
) -> RecommendedLimit:
    """Return the recommended weight limit for one person.

    Args:
        horizontal_cm: Hands in front of the ankles' midpoint. Beyond 63 the limit is 0. [cm]
        origin_cm: Hands above the floor where the lift begins. Beyond 175 the limit is 0. [cm]
        travel_cm: Vertical distance, up or down. Beyond 175 the limit is 0. [cm]
        asymmetry_deg: Twist away from straight ahead. Beyond 135 the limit is 0. [°]
        lifts_per_min: On average over 15 min. Beyond 15 the limit is 0. [1/min]
        duration_h: Of the lifting work. [h]
        coupling: ``"good"`` (handles), ``"fair"`` or ``"poor"``. [-]

    Raises:
        BadInput: a negative distance, angle or frequency, a duration of nothing or over 8 h, or another coupling.

    Source: NIOSH 94-110 (revised 9/2021) pp. 7-18; frequency table 5 read linearly between its rows.
    """
    require_number("horizontal_cm", horizontal_cm, least=0)
    require_number("origin_cm", origin_cm, least=0)
    require_number("travel_cm", travel_cm, least=0)
    require_number("asymmetry_deg", asymmetry_deg, least=0)
    require_number("lifts_per_min", lifts_per_min, least=0)
    require_number("duration_h", duration_h, above=0, most=LONGEST_H)
    require_one_of("coupling", coupling, COUPLINGS)
    hm = 0.0 if horizontal_cm > 63 else 25 / max(horizontal_cm, 25)
    vm = 0.0 if origin_cm > 175 else 1 - 0.003 * abs(origin_cm - _WAIST_CM)
    dm = 0.0 if travel_cm > 175 else 0.82 + 4.5 / max(travel_cm, 25)
    am = 0.0 if asymmetry_deg > 135 else 1 - 0.0032 * asymmetry_deg
    fm = _frequency_multiplier(lifts_per_min, duration_h, origin_cm)
    cm = _COUPLING_MULTIPLIERS[coupling][origin_cm >= _WAIST_CM]
    limit_kg = LOAD_CONSTANT_KG * hm * vm * dm * am * fm * cm
    return RecommendedLimit(limit_kg=limit_kg, hm=hm, vm=vm, dm=dm, am=am, fm=fm, cm=cm)


def lifting_index(
    load_kg: float,
    horizontal_cm: float,
    origin_cm: float,
    travel_cm: float,
    asymmetry_deg: float,
    lifts_per_min: float,
    duration_h: float,
    coupling: str,
) -> float:
    """Return a load over the recommended limit for one person; above 1 is beyond it. [-]

    Infinite for a load where the limit is 0.

    Args:
        load_kg: What is lifted. [kg]
        horizontal_cm: As ``recommended_limit``. [cm]
        origin_cm: As ``recommended_limit``. [cm]
        travel_cm: As ``recommended_limit``. [cm]
        asymmetry_deg: As ``recommended_limit``. [°]
        lifts_per_min: As ``recommended_limit``. [1/min]
        duration_h: As ``recommended_limit``. [h]
        coupling: ``"good"``, ``"fair"`` or ``"poor"``. [-]

    Raises:
        BadInput: no load, or as ``recommended_limit``.

    Source: NIOSH 94-110 (revised 9/2021), LI = L/RWL.
    """
    require_number("load_kg", load_kg, above=0)
    limit_kg = recommended_limit(
        horizontal_cm, origin_cm, travel_cm, asymmetry_deg, lifts_per_min, duration_h, coupling
    ).limit_kg
    return load_kg / limit_kg if limit_kg > 0 else inf


def team_limit_kg(one_person_kg: float, people: int) -> float:
    """Return what several people may lift together. [kg]

    Args:
        one_person_kg: What one of them may lift alone. [kg]
        people: 1 to 3; more cannot be judged by this. [-]

    Raises:
        BadInput: a negative limit, or people other than 1, 2, 3.

    Source: HSE L23 (three people from memory); not part of NIOSH 94-110, which covers one person.
    """
    require_number("one_person_kg", one_person_kg, least=0)
    require_one_of("people", people, tuple(range(1, len(TEAM_SHARES) + 1)))
    return people * one_person_kg * TEAM_SHARES[people - 1]


def people_needed(load_kg: float, one_person_kg: float) -> int | None:
    """Return how few people may lift a load, 1 to 4; None where even four may not: use mechanical means.

    The limit is that of ``recommended_limit``, from stated hands or from ``ASSUMED_HANDS``: one rule for all loads.

    Args:
        load_kg: What is lifted. [kg]
        one_person_kg: What one of them may lift alone. [kg]

    Raises:
        BadInput: no load, or a negative limit.

    Source: HSE L23, as ``team_limit_kg``; four people: half of their sum, common practice.
    """
    require_number("load_kg", load_kg, above=0)
    require_number("one_person_kg", one_person_kg, least=0)
    shares = (*TEAM_SHARES, _FOUR_PEOPLE_SHARE)
    return next((n for n, share in enumerate(shares, start=1) if load_kg <= n * one_person_kg * share), None)


def _frequency_multiplier(lifts_per_min: float, duration_h: float, origin_cm: float) -> float:
    if lifts_per_min > _FREQUENCIES[-1]:
        return 0.0
    by_origin = next(table for longest_h, table in _FREQUENCY_MULTIPLIERS if duration_h <= longest_h)
    column = by_origin[origin_cm >= _WAIST_CM]
    if lifts_per_min <= _FREQUENCIES[0]:
        return float(column[0])
    upper = bisect_left(_FREQUENCIES, lifts_per_min)
    below, above = _FREQUENCIES[upper - 1], _FREQUENCIES[upper]
    share = (lifts_per_min - below) / (above - below)
    return column[upper - 1] * (1 - share) + column[upper] * share
