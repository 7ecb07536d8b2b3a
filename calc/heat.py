"""How warm a closed case gets, and how much air takes the heat out.

All heat is taken as spread evenly inside, the air around as still, and the walls as shaded: ``sun_rise_c`` tells what
the sun adds. Figures for planning: measure a case before you
rely on one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from types import MappingProxyType

from calc.errors import BadInput, require_number, require_one_of
from calc.vocabulary import CASE_BUILDS

STANDINGS = ("free", "wall", "floor")

K_W_M2K: Mapping[str, float] = MappingProxyType(
    {
        "steel": 5.5,
        "stainless": 3.7,
        "aluminium": 12.0,
        "plastic-or-wood": 3.5,
        "foam-lined": 1.5,
    }
)
"""Heat that a wall lets through, by build of the case. [W/(m²·K)] ``K_SOURCE`` tells from where."""

K_STILL_AIR_W_M2K: Mapping[str, float] = MappingProxyType({**K_W_M2K, "aluminium": 5.5})
"""The same where no air moves along the walls. [W/(m²·K)]

A thin metal wall itself holds back nothing: the films of air on its two sides do, so that aluminium in still air is as
painted steel at best. The 12 W/(m²·K) that sheets print for it asks for air that moves along both sides.
"""

K_SOURCE: Mapping[str, str] = MappingProxyType(
    {
        "steel": "enclosure climate calculation sheets: painted sheet steel",
        "stainless": "enclosure climate calculation sheets: 3.7 to 4.5, the lower is used",
        "aluminium": "enclosure climate calculation sheets: 12, which asks for air that moves along both sides; in "
        "still air 5.5, as painted sheet steel: films of 0.13 and 0.04 m²·K/W let 5.9 through (ISO 6946, from memory)",
        "plastic-or-wood": "enclosure climate calculation sheets: insulating walls",
        "foam-lined": "common practice",
    }
)
"""Build → where its figure in ``K_W_M2K`` comes from."""

WHITE, BLACK = 0.3, 0.95
"""Share of the sun that a lid of that colour takes up. Common practice. [-]"""

STRONGEST_SUN_W_M2 = 1120.0
"""Sun on a surface that faces it. [W/m²] Source: IEC 60068-2-5, from memory."""

VEILED_SUN_W_M2 = STRONGEST_SUN_W_M2 / 2
"""A low or veiled sun: the least where a case is said to stand in the sun. [W/m²] Common practice."""

INSTALLED_SHARE = 0.5
"""Airflow of a fan behind grilles and cables over its free-air figure. [-] Common practice where no curve is known."""

_ABSOLUTE_ZERO_C = -273.15
_M3K_PER_WH_BY_ALTITUDE = ((100, 3.1), (250, 3.2), (500, 3.3), (750, 3.4), (1000, 3.5))
"""(up to this many metres, air that carries one watt at one kelvin in m³·K/Wh). Common practice, from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseTemperatures:
    """Inside temperature of a case, as it is and with its fan stopped."""

    running_c: float
    """With the fan, if there is one. [°C]"""
    fan_dead_c: float
    """Walls alone. [°C]"""


def effective_area_m2(height_m: float, width_m: float, depth_m: float, standing: str = "free") -> float:
    """Return the surface of a case that gives off heat. [m²]

    Args:
        height_m: Height. [m]
        width_m: Width. [m]
        depth_m: Depth. [m]
        standing: ``"free"`` on all sides, ``"wall"`` with its back to a wall, or ``"floor"``: on the floor, lid and
            four sides counted in full, the bottom not at all. [-]

    Raises:
        BadInput: a side that is not above 0, or another standing.

    Source: effective area by installation, IEC/TR 60890 and VDE 0660-500; floor: plain geometry, common practice.
    """
    for argument, side in (("height_m", height_m), ("width_m", width_m), ("depth_m", depth_m)):
        require_number(argument, side, above=0)
    require_one_of("standing", standing, STANDINGS)
    if standing == "free":
        return 1.8 * height_m * (width_m + depth_m) + 1.4 * width_m * depth_m
    if standing == "wall":
        return 1.4 * width_m * (height_m + depth_m) + 1.8 * depth_m * height_m
    return width_m * depth_m + 2 * height_m * (width_m + depth_m)


def wall_k_w_m2k(build: str) -> float:
    """Return what the walls of a case let through. [W/(m²·K)]

    Args:
        build: One of ``calc.vocabulary.CASE_BUILDS``. Not known: foam-lined is the cautious one. [-]

    Raises:
        BadInput: another build.

    Source: as ``K_SOURCE``.
    """
    require_one_of("build", build, CASE_BUILDS)
    return K_W_M2K[build]


def wall_k_range_w_m2k(build: str) -> tuple[float, float]:
    """Return what the walls of a case let through in still air, and in moving air. [W/(m²·K)]

    Judge a closed case at both ends, unless somebody said how the air around it moves.

    Args:
        build: One of ``calc.vocabulary.CASE_BUILDS``. [-]

    Raises:
        BadInput: another build.

    Source: as ``K_SOURCE``.
    """
    require_one_of("build", build, CASE_BUILDS)
    return K_STILL_AIR_W_M2K[build], K_W_M2K[build]


def heat_inside_w(mains_w: float, delivered_outside_w: float) -> float:
    """Return the heat that stays in a case: mains in, minus what it powers outside. [W]

    Args:
        mains_w: Active power in. [W]
        delivered_outside_w: Power that leaves by its ports. [W]

    Raises:
        BadInput: negative power, or more out than in.

    Source: conservation of energy.
    """
    require_number("mains_w", mains_w, least=0)
    require_number("delivered_outside_w", delivered_outside_w, least=0)
    if delivered_outside_w > mains_w:
        raise BadInput("delivered_outside_w", delivered_outside_w, f"at most the {mains_w:g} W that come in")
    return mains_w - delivered_outside_w


def closed_case_rise_c(watts: float, area_m2: float, k_w_m2k: float) -> float:
    """Return how much warmer than its surroundings a closed case gets. [K]

    Args:
        watts: Heat inside. [W]
        area_m2: Effective area. [m²]
        k_w_m2k: Heat transfer of the wall. [W/(m²·K)]

    Raises:
        BadInput: negative heat, or no area or transfer.

    Source: ΔT = P/(k·A), IEC/TR 60890 as the method.
    """
    require_number("watts", watts, least=0)
    require_number("area_m2", area_m2, above=0)
    require_number("k_w_m2k", k_w_m2k, above=0)
    return watts / (k_w_m2k * area_m2)


def airflow_m3h(watts: float, rise_c: float, altitude_m: float = 0) -> float:
    """Return the air that takes heat away at a given rise, walls not counted. [m³/h]

    Args:
        watts: Heat inside. [W]
        rise_c: Air out over air in. [K]
        altitude_m: Above the sea. [m]

    Raises:
        BadInput: negative heat, no rise, or an altitude outside 0 to 1000 m, where the table ends.

    Source: V = f·P/ΔT, f by altitude, common practice; within 2 % of 3600/(ρ·cp) of standard air at 35 °C.
    """
    require_number("watts", watts, least=0)
    require_number("rise_c", rise_c, above=0)
    return _m3k_per_wh(altitude_m) * watts / rise_c


def installed_airflow_m3h(free_air_m3h: float) -> float:
    """Return what a fan moves once it is built in, where no curve is known. [m³/h]

    Args:
        free_air_m3h: On the fan's data sheet. [m³/h]

    Raises:
        BadInput: no airflow.

    Source: common practice, half.
    """
    return INSTALLED_SHARE * require_number("free_air_m3h", free_air_m3h, above=0)


def fan_rise_c(watts: float, flow_m3h: float, altitude_m: float = 0) -> float:
    """Return how much warmer than its surroundings a case gets where air alone takes the heat. [K]

    Args:
        watts: Heat inside. [W]
        flow_m3h: Installed airflow. [m³/h]
        altitude_m: Above the sea. [m]

    Raises:
        BadInput: negative heat, no airflow, or an altitude outside 0 to 1000 m.

    Source: as ``airflow_m3h``.
    """
    require_number("watts", watts, least=0)
    require_number("flow_m3h", flow_m3h, above=0)
    return _m3k_per_wh(altitude_m) * watts / flow_m3h


def sun_rise_c(sun_w_m2: float, absorptance: float, lit_share: float, outside_w_m2k: float = 10.0) -> float:
    """Return how much warmer than the air the surroundings of a sunlit case count. [K]

    Add it to the ambient. Whether a case outdoors is in the sun, and of which colour it is, nobody can assume: ask, or
    judge it at both ends, 0 and ``STRONGEST_SUN_W_M2`` on a black lid.

    Args:
        sun_w_m2: On a surface that faces the sun, 0 in the shade. [W/m²]
        absorptance: Share that the surface takes up: white paint about 0.3, black about 0.95. [-]
        lit_share: Lit part of the effective area, seen from the sun, over the whole. [-]
        outside_w_m2k: Film on the outside; 10 in still air, more in wind. [W/(m²·K)]

    Raises:
        BadInput: more than ``STRONGEST_SUN_W_M2``, a share outside 0 to 1, or no film.

    Source: sol-air temperature, α·G/h, as handbooks of building physics have it; absorptances common practice.
    """
    require_number("sun_w_m2", sun_w_m2, least=0, most=STRONGEST_SUN_W_M2)
    require_number("absorptance", absorptance, least=0, most=1)
    require_number("lit_share", lit_share, least=0, most=1)
    require_number("outside_w_m2k", outside_w_m2k, above=0)
    return absorptance * sun_w_m2 * lit_share / outside_w_m2k


def greatest_lit_share(height_m: float, width_m: float, depth_m: float) -> float:
    """Return the largest part of a case on the floor that the sun can see, over its effective area. [-]

    Args:
        height_m: Height. [m]
        width_m: Width. [m]
        depth_m: Depth. [m]

    Raises:
        BadInput: a side that is not above 0.

    Source: plain geometry: the largest shadow of a box is √((W·D)² + (W·H)² + (D·H)²).
    """
    area_m2 = effective_area_m2(height_m, width_m, depth_m, "floor")
    return hypot(width_m * depth_m, width_m * height_m, depth_m * height_m) / area_m2


def sun_heat_w(sun_c: float, area_m2: float, k_w_m2k: float) -> float:
    """Return the heat inside that would warm a closed case as much as the sun on its walls does. [W]

    Args:
        sun_c: As ``sun_rise_c``. [K]
        area_m2: Effective area. [m²]
        k_w_m2k: Heat transfer of the wall. [W/(m²·K)]

    Raises:
        BadInput: a negative rise, or no area or transfer.

    Source: P = k·A·ΔT, IEC/TR 60890 as the method; sol-air temperature as ``sun_rise_c``.
    """
    require_number("sun_c", sun_c, least=0)
    require_number("area_m2", area_m2, above=0)
    require_number("k_w_m2k", k_w_m2k, above=0)
    return sun_c * area_m2 * k_w_m2k


def case_temperatures_c(
    watts: float,
    ambient_c: float,
    area_m2: float,
    k_w_m2k: float,
    free_air_m3h: float | None = None,
    altitude_m: float = 0,
) -> CaseTemperatures:
    """Return the inside temperatures of a case. [°C]

    Walls and air take heat away side by side, so each alone is an upper bound; with the fan running the lower counts.

    Args:
        watts: Heat inside. [W]
        ambient_c: Around the case. [°C]
        area_m2: Effective area. [m²]
        k_w_m2k: Heat transfer of the wall. [W/(m²·K)]
        free_air_m3h: The fan's data sheet figure; None without a fan. [m³/h]
        altitude_m: Above the sea. [m]

    Raises:
        BadInput: as the functions that this one joins, or an ambient below absolute zero.

    Source: heat balance; IEC/TR 60890 as the method; half of the free-air flow is common practice.
    """
    require_number("ambient_c", ambient_c, above=_ABSOLUTE_ZERO_C)
    walls_c = closed_case_rise_c(watts, area_m2, k_w_m2k)
    if free_air_m3h is None:
        return CaseTemperatures(running_c=ambient_c + walls_c, fan_dead_c=ambient_c + walls_c)
    air_c = fan_rise_c(watts, installed_airflow_m3h(free_air_m3h), altitude_m)
    return CaseTemperatures(running_c=ambient_c + min(walls_c, air_c), fan_dead_c=ambient_c + walls_c)


def _m3k_per_wh(altitude_m: float) -> float:
    highest_m, _ = _M3K_PER_WH_BY_ALTITUDE[-1]
    require_number("altitude_m", altitude_m, least=0, most=highest_m)
    return next(factor for up_to_m, factor in _M3K_PER_WH_BY_ALTITUDE if altitude_m <= up_to_m)
