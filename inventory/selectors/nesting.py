"""Which kits are packed in which: a nested kit is its case's unit in a position of the outer kit."""

from collections.abc import Collection, Sequence

from django.db import connection
from django.db.models.expressions import RawSQL

INSIDE = """
WITH RECURSIVE inside(root, kit_id) AS (
    SELECT id, id FROM inventory_kit WHERE id IN ({ids})
    UNION
    SELECT inside.root, inner_case.kit_id
      FROM inside
      JOIN inventory_position place ON place.kit_id = inside.kit_id AND place.role <> 'case'
      JOIN inventory_position inner_case ON inner_case.unit_id = place.unit_id AND inner_case.role = 'case'
)
SELECT {columns} FROM inside
"""

AROUND = """
WITH RECURSIVE around(root, kit_id) AS (
    SELECT id, id FROM inventory_kit WHERE id IN ({ids})
    UNION
    SELECT around.root, place.kit_id
      FROM around
      JOIN inventory_position own_case ON own_case.kit_id = around.kit_id AND own_case.role = 'case'
      JOIN inventory_position place ON place.unit_id = own_case.unit_id AND place.role <> 'case'
)
SELECT {columns} FROM around
"""


def kits_inside(kit_ids: Collection[int]) -> dict[int, set[int]]:
    """Return each kit with itself and all that are packed in it, at any depth. One statement."""
    return _closure(INSIDE, kit_ids)


def kits_around(kit_ids: Collection[int]) -> dict[int, set[int]]:
    """Return each kit with itself and all that it is packed in, at any depth. One statement."""
    return _closure(AROUND, kit_ids)


def ids_inside(kit_ids: Collection[int]) -> RawSQL:
    """Return, for a query over kits, the ids of these kits, at least one, and of all packed in them."""
    return _ids(INSIDE, kit_ids)


def ids_around(kit_ids: Collection[int]) -> RawSQL:
    """Return, for a query over kits, the ids of these kits, at least one, and of all that they are packed in."""
    return _ids(AROUND, kit_ids)


def _ids(statement: str, kit_ids: Collection[int]) -> RawSQL:
    ids = sorted(kit_ids)
    return RawSQL(_filled(statement, "kit_id", ids), ids)  # noqa: S611 - our own text; the ids are parameters


def _closure(statement: str, kit_ids: Collection[int]) -> dict[int, set[int]]:
    if not kit_ids:
        return {}
    ids = sorted(kit_ids)
    with connection.cursor() as cursor:
        cursor.execute(_filled(statement, "root, kit_id", ids), ids)
        found: dict[int, set[int]] = {}
        for root, kit_id in cursor.fetchall():
            found.setdefault(root, set()).add(kit_id)
    return found


def _filled(statement: str, columns: str, ids: Sequence[int]) -> str:
    return statement.format(columns=columns, ids=", ".join(["%s"] * len(ids)))
