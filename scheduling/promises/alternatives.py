"""What could stand in: for a unit that is missed, for a kit that cannot be had. Computed when asked, never stored."""

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import datetime
from typing import TypedDict

from django.db.models import Q

from inventory.models import Kit, Position, Spec
from inventory.rows import has_case
from scheduling.promises.decide import Occupancy, Period, WantedItem
from scheduling.promises.demand import NEEDED_ROLES, Contents, contents_of
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
    """A similar kit, complete and free for the period."""

    kit: int
    name: str
    differs: list[str]
    """What it has less or more than the wanted one, and a stop of its check: ``no Desk``, ``1 Injector more``."""


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


@dataclass(frozen=True, slots=True)
class Instead:
    """What could be taken instead: free units for gaps, and free kits for a kit in a period."""

    units: Mapping[Gap, list[UnitAlternative]]
    kits: Mapping[tuple[int, Period], list[KitAlternative]]


def alternatives(missed: Sequence[Missed], now: datetime) -> list[list[Alternative]]:
    """Return, for each booking, what could be taken instead: similar kits first, then single units; each once.

    At most six statements for any number of bookings.
    """
    gaps = [gap for one in missed for gap in one.gaps]
    instead = instead_of(gaps, [(one.kit, one.period) for one in missed if one.kit is not None], now)
    found = []
    for one in missed:
        listed: list[Alternative] = [] if one.kit is None else [*instead.kits[one.kit, one.period]]
        for gap in one.gaps:
            listed += [unit for unit in instead.units[gap] if unit not in listed]
        found.append(listed)
    return found


def stand_ins(gaps: Sequence[Gap], now: datetime) -> list[list[UnitAlternative]]:
    """Return, for each gap, what ``instead_of`` does; three statements for any number of gaps."""
    units = instead_of(gaps, (), now).units
    return [units[gap] for gap in gaps]


def instead_of(gaps: Collection[Gap], kits: Collection[tuple[int, Period]], now: datetime) -> Instead:
    """Return what could be taken instead, each in the order in which it is offered.

    For a gap, free units of its spec, then of the specs that its position accepts; loose ones first. For a kit and a
    period, complete kits of which at least half of what either needs is the same, those first that differ least. Three
    statements for any number of gaps, three more for any number of kits.
    """
    if not gaps and not kits:
        return Instead({}, {})
    names, accepted = _specs_for(gaps)
    alike = _alike_kits({kit for kit, _ in kits}) if kits else _Alike({}, {}, {}, frozenset(), {})
    wanted = Q(spec__in=list(names)) | Q(pk__in=alike.needed_units())
    occupancy = Occupancy(read_pool(wanted, [*(gap.period for gap in gaps), *(period for _, period in kits)], now))
    return Instead(
        units={gap: _free_units(occupancy, _specs_in_order(gap, accepted), gap.period, names) for gap in gaps},
        kits={(kit, period): _free_kits(occupancy, kit, period, alike) for kit, period in kits},
    )


@dataclass(frozen=True, slots=True)
class _Alike:
    """Kits that could take another's place."""

    kits: Mapping[int, list[int]]
    """By the kit whose place it is, those first that differ least."""
    contents: Mapping[int, Contents]
    names: Mapping[int, str]
    stopped: Set[int]
    """Kits whose newest check says stop."""
    spec_names: Mapping[int, str]

    def needed_units(self) -> set[int | None]:
        return {item.unit for kits in self.kits.values() for kit in kits for item in self.contents[kit].needed_items()}

    def differs(self, kit: int, other: int) -> list[str]:
        """Return what the other kit has less or more than the kit, and what its check says."""
        wanted, has = _needed_specs(self.contents[kit].items), _needed_specs(self.contents[other].items)
        told = []
        for spec in sorted(wanted | has, key=lambda spec: self.spec_names[spec]):
            less, more = wanted[spec] - has[spec], has[spec] - wanted[spec]
            if less > 0:
                told.append(f"{less} {self.spec_names[spec]} fewer" if has[spec] else f"no {self.spec_names[spec]}")
            elif more > 0:
                told.append(f"{more} {self.spec_names[spec]} more")
        return [*told, "its check says stop"] if other in self.stopped else told


def _alike_kits(kits: Collection[int]) -> _Alike:
    """Return for each kit the complete ones that could take its place; three statements."""
    needed = Position.objects.filter(kit__in=kits, role__in=NEEDED_ROLES).values("spec_id")
    sharing = Position.objects.filter(role__in=NEEDED_ROLES, unit__isnull=False, spec__in=needed).values("kit")
    rows = list(
        Kit.objects.filter(has_case(), pk__in=sharing).order_by("name", "pk").values_list("pk", "name", "verdict")
    )
    names = {pk: name for pk, name, _ in rows}
    contents = contents_of([*kits, *names])
    alike = {
        kit: sorted(
            (other for other in names if other != kit and _is_similar(contents[other].items, contents[kit].items)),
            key=lambda other: _distance(contents[other].items, contents[kit].items),
        )
        for kit in kits
    }
    specs = {item.spec for kit in contents.values() for item in kit.items}
    return _Alike(
        kits=alike,
        contents=contents,
        names=names,
        stopped={pk for pk, _, verdict in rows if verdict == "stop"},
        spec_names=dict(Spec.objects.filter(pk__in=specs).values_list("pk", "name")),
    )


def _free_kits(occupancy: Occupancy, kit: int, period: Period, alike: _Alike) -> list[KitAlternative]:
    free = [
        other
        for other in alike.kits[kit]
        if all(is_free(occupancy, item.unit, period) for item in alike.contents[other].needed_items())
    ]
    return [
        KitAlternative(kit=other, name=alike.names[other], differs=alike.differs(kit, other)) for other in free[:MOST]
    ]


def is_free(occupancy: Occupancy, unit: int | None, period: Period) -> bool:
    """Say whether a unit can go out for the period and nobody has it firmly, as things stand."""
    return unit is not None and not occupancy.outages(unit, period) and occupancy.is_unclaimed(unit, period)


def _free_units(
    occupancy: Occupancy, specs: Sequence[int], period: Period, names: Mapping[int, str]
) -> list[UnitAlternative]:
    found: list[UnitAlternative] = []
    for spec in specs:
        loose_first = sorted(occupancy.units_of(spec), key=lambda unit: (unit.packed_in is not None, unit.id))
        found += [
            {"unit": unit.id, "tag": unit.tag, "spec": spec, "name": names[spec], "packed_in": unit.packed_in}
            for unit in loose_first
            if is_free(occupancy, unit.id, period)
        ]
    return found[:MOST]


def _specs_for(gaps: Collection[Gap]) -> tuple[dict[int, str], dict[int, list[int]]]:
    """Return the names of all specs that could fill the gaps, and those that each position accepts; one statement."""
    positions = {gap.position for gap in gaps if gap.position is not None}
    rows = Spec.objects.filter(Q(pk__in={gap.spec for gap in gaps}) | Q(accepted_in__in=positions)).order_by("pk")
    names: dict[int, str] = {}
    accepted: defaultdict[int, list[int]] = defaultdict(list)
    for pk, name, position in rows.values_list("pk", "name", "accepted_in"):
        names[pk] = name
        if position is not None:
            accepted[position].append(pk)
    return names, accepted


def _specs_in_order(gap: Gap, accepted: Mapping[int, list[int]]) -> list[int]:
    others = accepted.get(gap.position, []) if gap.position is not None else []
    return [gap.spec, *(spec for spec in others if spec != gap.spec)]


def _needed_specs(items: Sequence[WantedItem]) -> Counter[int]:
    return Counter(item.spec for item in items if item.needed)


def _is_similar(items: Sequence[WantedItem], others: Sequence[WantedItem]) -> bool:
    """Say whether a kit is complete, and at least half of what either of the two needs is the same."""
    if any(item.unit is None for item in items if item.needed):
        return False
    has, wanted = _needed_specs(items), _needed_specs(others)
    return 2 * (has & wanted).total() >= (has | wanted).total()


def _distance(items: Sequence[WantedItem], others: Sequence[WantedItem]) -> int:
    has, wanted = _needed_specs(items), _needed_specs(others)
    return (has | wanted).total() - (has & wanted).total()
