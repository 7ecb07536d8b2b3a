"""What could stand in: for a unit that is missed, for a kit that cannot be had. Computed when asked, never stored."""

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TypedDict

from django.db.models import Q

from inventory.models import Kit, Position, Spec
from scheduling.promises.decide import Board, Line, Period
from scheduling.promises.demand import Contents, contents_of
from scheduling.promises.snapshot import read_pool

MOST = 20
"""Alternatives that are listed for one gap."""


class UnitAlternative(TypedDict):
    """A unit that is free for the period."""

    unit: int
    tag: str
    spec: int
    name: str
    packed_in: int | None


class KitAlternative(TypedDict):
    """Another kit of the same kind of case and contents, complete and free for the period."""

    kit: int
    name: str


Alternative = UnitAlternative | KitAlternative


@dataclass(frozen=True, slots=True)
class Gap:
    """One thing that is missed for one period."""

    spec: int
    position: int | None
    period: Period


@dataclass(frozen=True, slots=True)
class Missed:
    """What one booking misses, and the kit that it wants, if it wants one."""

    gaps: Sequence[Gap]
    period: Period
    kit: int | None


def alternatives(missed: Sequence[Missed], now: datetime) -> list[list[Alternative]]:
    """Return, for each booking, what could be taken instead: units first, then whole kits; each once.

    Nine statements for any number of bookings.
    """
    gaps = list(dict.fromkeys(gap for one in missed for gap in one.gaps))
    units = dict(zip(gaps, stand_ins(gaps, now), strict=True))
    pairs = list(dict.fromkeys((one.kit, one.period) for one in missed if one.kit is not None))
    kits = dict(zip(pairs, other_kits(pairs, now), strict=True))
    found = []
    for one in missed:
        listed: list[Alternative] = []
        for gap in one.gaps:
            listed += [unit for unit in units[gap] if unit not in listed]
        if one.kit is not None:
            listed += kits[one.kit, one.period]
        found.append(listed)
    return found


def stand_ins(gaps: Sequence[Gap], now: datetime) -> list[list[UnitAlternative]]:
    """Return, for each gap, free units of its spec, then of the specs that its position accepts; loose ones first.

    Four statements for any number of gaps.
    """
    if not gaps:
        return []
    accepted = _accepted({gap.position for gap in gaps if gap.position is not None})
    specs_of = [[gap.spec, *sorted(accepted.get(gap.position or 0, set()) - {gap.spec})] for gap in gaps]
    names = dict(Spec.objects.filter(pk__in={spec for specs in specs_of for spec in specs}).values_list("pk", "name"))
    board = Board(read_pool(Q(spec__in=list(names)), [gap.period for gap in gaps], now))
    return [_free_units(board, specs, gap.period, names) for gap, specs in zip(gaps, specs_of, strict=True)]


def other_kits(asked: Sequence[tuple[int, Period]], now: datetime) -> list[list[KitAlternative]]:
    """Return, for each kit and period, complete kits with the same kind of case and the same needed contents that are
    free then. Five statements for any number of pairs.
    """
    if not asked:
        return []
    alike, contents, names = _alike_kits({kit for kit, _ in asked})
    units = {line.unit for kits in alike.values() for kit in kits for line in contents[kit].needed_lines()}
    board = Board(read_pool(Q(pk__in=units), [period for _, period in asked], now))
    found = []
    for asked_kit, period in asked:
        free = [
            kit
            for kit in alike[asked_kit]
            if all(is_free(board, line.unit, period) for line in contents[kit].needed_lines())
        ]
        found.append([KitAlternative(kit=kit, name=names[kit]) for kit in free[:MOST]])
    return found


def _alike_kits(kits: Collection[int]) -> tuple[dict[int, list[int]], dict[int, Contents], dict[int, str]]:
    """Return for each kit the complete ones that could take its place, with everybody's contents and names."""
    case_specs = Position.objects.filter(kit__in=kits, role="case").values("spec_id")
    same_case = Position.objects.filter(role="case", unit__isnull=False, spec__in=case_specs)
    names = dict(Kit.objects.filter(positions__in=same_case).order_by("name", "pk").values_list("pk", "name"))
    contents = contents_of([*kits, *names])
    alike = {
        kit: [
            other
            for other in names
            if other != kit and _is_complete_like(contents[other].lines, _needed_specs(contents[kit].lines))
        ]
        for kit in kits
    }
    return alike, contents, names


def is_free(board: Board, unit: int | None, period: Period) -> bool:
    """Say whether a unit can go out for the period and nobody has it firmly, as things stand."""
    return unit is not None and not board.outages(unit, period) and board.is_unclaimed(unit, period)


def _free_units(board: Board, specs: Sequence[int], period: Period, names: Mapping[int, str]) -> list[UnitAlternative]:
    found: list[UnitAlternative] = []
    for spec in specs:
        loose_first = sorted(board.units_of(spec), key=lambda unit: (unit.packed_in is not None, unit.id))
        found += [
            {"unit": unit.id, "tag": unit.tag, "spec": spec, "name": names[spec], "packed_in": unit.packed_in}
            for unit in loose_first
            if is_free(board, unit.id, period)
        ]
    return found[:MOST]


def _accepted(positions: Collection[int]) -> dict[int, set[int]]:
    accepted: defaultdict[int, set[int]] = defaultdict(set)
    if positions:
        through = Position.accepts.through.objects.filter(position_id__in=positions)
        for position, spec in through.values_list("position_id", "spec_id"):
            accepted[position].add(spec)
    return accepted


def _needed_specs(lines: Sequence[Line]) -> Counter[int]:
    return Counter(line.spec for line in lines if line.needed)


def _is_complete_like(lines: Sequence[Line], wanted: Counter[int]) -> bool:
    return _needed_specs(lines) == wanted and all(line.unit is not None for line in lines if line.needed)
