"""Which kits lie in which: a nested kit is its case's unit in a position of the outer kit."""

from collections.abc import Collection

from django.db import connection

INSIDE = """
WITH RECURSIVE inside(root, kit_id) AS (
    SELECT id, id FROM inventory_kit WHERE id IN ({ids})
    UNION
    SELECT inside.root, inner_case.kit_id
      FROM inside
      JOIN inventory_position place ON place.kit_id = inside.kit_id AND place.role <> 'case'
      JOIN inventory_position inner_case ON inner_case.unit_id = place.unit_id AND inner_case.role = 'case'
)
SELECT root, kit_id FROM inside
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
SELECT root, kit_id FROM around
"""


def kits_inside(kit_ids: Collection[int]) -> dict[int, set[int]]:
    """Return each kit with itself and all that lie in it, at any depth. One statement."""
    return _closure(INSIDE, kit_ids)


def kits_around(kit_ids: Collection[int]) -> dict[int, set[int]]:
    """Return each kit with itself and all that it lies in, at any depth. One statement."""
    return _closure(AROUND, kit_ids)


def _closure(statement: str, kit_ids: Collection[int]) -> dict[int, set[int]]:
    if not kit_ids:
        return {}
    ids = sorted(kit_ids)
    with connection.cursor() as cursor:
        cursor.execute(statement.format(ids=", ".join(["%s"] * len(ids))), ids)
        found: dict[int, set[int]] = {}
        for root, kit_id in cursor.fetchall():
            found.setdefault(root, set()).add(kit_id)
    return found
