"""What bookings want: which units, by which positions; or how many of a spec."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

from django.db import connection

from inventory.models import Unit
from scheduling.models import Booking, BookingState, StandIn
from scheduling.promises.decide import Period, SpecQuantity, Want, WantedItem

CONTENTS = """
WITH RECURSIVE inside(root, kit_id, needed, depth) AS (
    SELECT id, id, 1, 0 FROM inventory_kit WHERE id IN ({ids})
    UNION
    SELECT inside.root, inner_case.kit_id,
           CASE WHEN inside.needed = 1 AND place.role = 'required' THEN 1 ELSE 0 END, inside.depth + 1
      FROM inside
      JOIN inventory_position place ON place.kit_id = inside.kit_id AND place.role <> 'case'
      JOIN inventory_position inner_case ON inner_case.unit_id = place.unit_id AND inner_case.role = 'case'
     WHERE inside.depth < 32
)
SELECT inside.root, inside.depth, inside.needed, place.id, place.role, place.spec_id, place.unit_id
  FROM inside
  JOIN inventory_position place ON place.kit_id = inside.kit_id
 WHERE inside.depth = 0 OR place.role <> 'case'
 ORDER BY inside.root, inside.depth, place.sort, place.id
"""
"""Every position of a kit and of the kits in it. The case of an inner kit is the unit in the outer position."""

NEEDED_ROLES = ("case", "required")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """What a kit consists of, nested kits included."""

    case: int | None
    """The unit that is its case; None: a draft."""
    items: tuple[WantedItem, ...]

    def needed_items(self) -> tuple[WantedItem, ...]:
        """Those without which a booking is refused."""
        return tuple(item for item in self.items if item.needed and item.unit is not None)


def contents_of(kit_ids: Collection[int]) -> dict[int, Contents]:
    """Return what each kit consists of. One statement. An empty position counts only where it is required."""
    if not kit_ids:
        return {}
    ids = sorted(set(kit_ids))
    items: defaultdict[int, list[WantedItem]] = defaultdict(list)
    cases: dict[int, int | None] = dict.fromkeys(ids)
    with connection.cursor() as cursor:
        cursor.execute(CONTENTS.format(ids=", ".join(["%s"] * len(ids))), ids)
        for root, depth, needed, position, role, spec, unit in cursor.fetchall():
            if role == "case" and depth == 0:
                cases[root] = unit
            is_needed = bool(needed) and role in NEEDED_ROLES
            if unit is not None or is_needed:
                items[root].append(WantedItem(spec=spec, unit=unit, position=position, needed=is_needed))
    return {kit: Contents(case=cases[kit], items=tuple(items[kit])) for kit in ids}


def wants_of(bookings: Iterable[Booking]) -> list[Want]:
    """Return what each booking wants, in the order given. At most three statements for any number of bookings."""
    rows = list(bookings)
    contents = contents_of({row.kit_id for row in rows if row.kit_id is not None})
    stand_ins = _stand_ins([row.pk for row in rows if row.kit_id is not None])
    specs = dict(_specs_of_units([row.unit_id for row in rows if row.unit_id is not None]))
    return [
        Want(
            booking=row.pk,
            event=row.event_id,
            period=Period(row.starts_at, row.ends_at),
            firm=row.state == BookingState.CONFIRMED,
            items=_lines(row, contents, stand_ins[row.pk], specs),
            of_spec=(
                SpecQuantity(spec=row.spec_id, quantity=row.quantity, from_kits=row.from_kits)
                if row.spec_id is not None
                else None
            ),
        )
        for row in rows
    ]


def _stand_ins(bookings: Collection[int]) -> defaultdict[int, dict[int, int]]:
    """Return booking → position → the unit that stands in there; one statement, or none."""
    found: defaultdict[int, dict[int, int]] = defaultdict(dict)
    rows = StandIn.objects.filter(booking__in=bookings) if bookings else StandIn.objects.none()
    for booking, position, unit in rows.values_list("booking_id", "position_id", "unit_id"):
        found[booking][position] = unit
    return found


def _lines(
    row: Booking, contents: dict[int, Contents], stand_ins: Mapping[int, int], specs: dict[int, int]
) -> tuple[WantedItem, ...]:
    if row.kit_id is not None:
        items = contents[row.kit_id].items
        return tuple(replace(item, unit=stand_ins.get(item.position or 0, item.unit)) for item in items)
    if row.unit_id is not None:
        return (WantedItem(spec=specs[row.unit_id], unit=row.unit_id),)
    return ()


def _specs_of_units(unit_ids: Collection[int]) -> Iterable[tuple[int, int]]:
    return Unit.objects.filter(pk__in=unit_ids).values_list("pk", "spec_id") if unit_ids else ()
