"""Rule sets: the limits that differ by region, read from ``registers/rules.json``, each value with its source.

Local codes, the venue's rules and a licensed electrician decide; these are the figures that a check compares with.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from calc.errors import BadInput, require_number, require_one_of, require_whole
from calc.vocabulary import RULE_SETS

LEAST_AWG = -3
MOST_AWG = 56
"""The span of ASTM B258, 4/0 to 56 (the far end from memory)."""


@dataclass(frozen=True, slots=True)
class Citation:
    """Where a value comes from."""

    source: str
    known: str
    """``"read"``, ``"second-hand"``, ``"memory"`` or ``"common practice"``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleSet:
    """The figures of one region. ``None`` or an empty table: this region's codes publish no such value.

    What a coupler is rated for in a region stands in the connector register: ``calc.connectors.rating_a``.
    """

    name: str
    title: str
    earth_word: str
    """What the reader calls the protective connection."""
    residual_device_word: str
    """What the reader calls a residual-current device."""
    continuous_factor: float
    """Breaker rating over the load it may carry for 3 h or more. [-]"""
    headroom_caution_share: float | None
    """Share of the limit above which a circuit is nearly full; None where the limit itself leaves headroom. [-]"""
    cord_two_loaded_by_area_a: Mapping[float, float]
    """Rated current of a flexible cord with two loaded conductors, by area in mm². [A]"""
    cord_three_loaded_by_area_a: Mapping[float, float]
    cord_two_loaded_by_awg_a: Mapping[int, float]
    cord_three_loaded_by_awg_a: Mapping[int, float]
    drop_caution_percent: float
    drop_limit_percent: float
    """Guidance on the total drop, not a rule; ``citations`` says from where it counts. [%]"""
    flexible_ohm_per_km_at_20_c: Mapping[float, float]
    """Class 5 conductors, by area in mm². [Ω/km]"""
    awg_solid_ohm_per_kft_at_75_c: Mapping[int, float]
    awg_stranded_ohm_per_kft_at_75_c: Mapping[int, float]
    """By gauge, 0 for 1/0, -1 for 2/0, -3 for 4/0. [Ω per 1000 ft]"""
    residual_caution_share: float
    residual_stop_share: float
    """Standing leakage over the rated residual current. [-]"""
    class_a_caution_ma: float | None
    class_a_stop_ma: float | None
    """Standing leakage on a class A device. [mA]"""
    class_a_most_rated_ma: float | None
    """A device rated up to this is taken as class A. [mA]"""
    residual_assumed_ma: float
    """What a device of unknown rating is taken for when asking whether it trips for nothing. [mA]"""
    breaker_instant_multiples: Mapping[str, tuple[float, float]]
    """By curve: the multiples of the rating at which it does not yet, and surely does, trip at once. [-]"""
    inspection_earth_bond_ohm: float | None
    """Besides the resistance of the lead's own protective conductor. [Ω]"""
    inspection_insulation_class_i_mohm: float | None
    inspection_insulation_class_ii_mohm: float | None
    inspection_leakage_class_i_ma: float | None
    inspection_leakage_class_ii_ma: float | None
    inspection_hire_interval_months: int | None
    citations: Mapping[str, tuple[Citation, ...]]
    """Field name → its sources, in the order of the data; a field without a value has none."""


def rule_set(name: str) -> RuleSet:
    """Return the rule set of that name.

    Args:
        name: ``"iec"`` or ``"north_america"``. [-]

    Raises:
        BadInput: ``name`` is neither.

    Source: each value carries its own in ``citations``.
    """
    require_one_of("name", name, RULE_SETS)
    return _rule_set(name)


def cord_rated_a(
    rules: str, *, area_mm2: float | None = None, awg: int | None = None, loaded_conductors: int = 2
) -> float | None:
    """Return what a flexible cord carries; None: not known, since this region's tables have no cord of that size. [A]

    None is neither "any current" nor 0: a check that gets it asks for the rating of the cord.

    Args:
        rules: Name of the rule set. [-]
        area_mm2: Conductor area; give either this or ``awg``. [mm²]
        awg: Conductor gauge, -3 (4/0) to 56. [AWG]
        loaded_conductors: 2, or 3 (three phases). The table is for one cord in free air, not coiled. [-]

    Raises:
        BadInput: unknown rules, neither or both of area and gauge, a gauge that is none, or loaded conductors
            other than 2 and 3.

    Source: up to 4 mm² BS 7671 table 4F3A, above IEC 60364-5-52 table B.52.10 method E; NFPA 70 table 400.5(A)(1); all
        from memory.
    """
    require_one_of("rules", rules, RULE_SETS)
    require_one_of("loaded_conductors", loaded_conductors, (2, 3))
    chosen, two = _rule_set(rules), loaded_conductors == 2
    if area_mm2 is not None and awg is None:
        require_number("area_mm2", area_mm2, above=0)
        return (chosen.cord_two_loaded_by_area_a if two else chosen.cord_three_loaded_by_area_a).get(area_mm2)
    if awg is not None and area_mm2 is None:
        require_whole("awg", awg, least=LEAST_AWG, most=MOST_AWG)
        return (chosen.cord_two_loaded_by_awg_a if two else chosen.cord_three_loaded_by_awg_a).get(awg)
    raise BadInput("area_mm2", area_mm2, "one of area_mm2 and awg, not both and not neither")


@cache
def _register() -> dict[str, dict[str, list[dict[str, Any]]]]:
    text = files("calc").joinpath("registers/rules.json").read_text(encoding="utf-8")
    register: dict[str, dict[str, list[dict[str, Any]]]] = json.loads(text)
    return register


@cache
def _rule_set(name: str) -> RuleSet:
    entries = _register()[name]
    fields = {field: _READ_AS.get(field, _single)(parts) for field, parts in entries.items()}
    citations = {
        field: tuple(Citation(part["source"], part["known"]) for part in parts) for field, parts in entries.items()
    }
    return RuleSet(name=name, citations=MappingProxyType(citations), **fields)


def _single(parts: list[dict[str, Any]]) -> Any:
    """Return the one value of a field, or None if the region has none."""
    if not parts:
        return None
    (part,) = parts
    return part["value"]


def _table(key: Callable[[str], Any], value: Callable[[Any], Any] = float) -> Callable[[list[dict[str, Any]]], Any]:
    """Return a reader that joins the parts of a table; the parts differ only in how their values are known."""

    def read(parts: list[dict[str, Any]]) -> Mapping[Any, Any]:
        return MappingProxyType({key(k): value(v) for part in parts for k, v in part["value"].items()})

    return read


_READ_AS: Mapping[str, Callable[[list[dict[str, Any]]], Any]] = {
    "cord_two_loaded_by_area_a": _table(float),
    "cord_three_loaded_by_area_a": _table(float),
    "cord_two_loaded_by_awg_a": _table(int),
    "cord_three_loaded_by_awg_a": _table(int),
    "flexible_ohm_per_km_at_20_c": _table(float),
    "awg_solid_ohm_per_kft_at_75_c": _table(int),
    "awg_stranded_ohm_per_kft_at_75_c": _table(int),
    "breaker_instant_multiples": _table(str, tuple),
}
