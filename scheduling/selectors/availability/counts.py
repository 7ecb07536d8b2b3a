"""How many units of each spec there are in each window, and in what state: one statement for the whole table."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import connection

from scheduling.promises.decide import Period

COUNTS = """
WITH w(i, s, e) AS (VALUES {windows}),
hit(i, unit_id, firm, soft, down, movable) AS (
    SELECT w.i, c.unit_id,
           CASE WHEN c.standing = 'firm' THEN 1 ELSE 0 END,
           CASE WHEN c.standing = 'soft' THEN 1 ELSE 0 END,
           0,
           CASE WHEN c.standing = 'firm' AND c.dealt AND c.pinned_at IS NULL THEN 1 ELSE 0 END
      FROM w
      JOIN scheduling_claim c ON c.starts_at < w.e AND c.ends_at > w.s AND c.standing <> 'released'
      JOIN scheduling_booking b ON b.id = c.booking_id AND (c.standing = 'firm' OR b.expires_at > {now})
      JOIN inventory_unit u ON u.id = c.unit_id AND u.spec_id IN ({specs})
    UNION ALL
    SELECT w.i, d.unit_id, 0, 0, 1, 0
      FROM w
      JOIN inventory_downtime d ON d.starts_at < w.e
       AND (d.ends_at > w.s
            OR (d.ends_at IS NULL
                AND (d.expected_until IS NULL OR d.expected_until <= {now} OR d.expected_until > w.s)))
      JOIN inventory_unit u ON u.id = d.unit_id AND u.spec_id IN ({specs})
),
state(i, unit_id, firm, soft, down, movable) AS (
    SELECT i, unit_id, MAX(firm), MAX(soft), MAX(down), MAX(movable) FROM hit GROUP BY i, unit_id
),
place(unit_id) AS (SELECT DISTINCT unit_id FROM inventory_position WHERE unit_id IS NOT NULL)
SELECT u.spec_id, w.i,
       COUNT(*),
       SUM(COALESCE(t.down, 0)),
       SUM(COALESCE(t.firm, 0)),
       SUM(COALESCE(t.soft, 0)),
       SUM(CASE WHEN t.down = 1 OR t.firm = 1 OR place.unit_id IS NULL THEN 0 ELSE 1 END),
       SUM(CASE WHEN t.down = 1 OR t.firm = 1 OR place.unit_id IS NOT NULL THEN 0 ELSE 1 END),
       SUM(COALESCE(t.movable, 0))
  FROM inventory_unit u
  JOIN w ON (u.available_from IS NULL OR u.available_from <= w.s)
        AND (u.available_until IS NULL OR u.available_until >= w.e)
  LEFT JOIN state t ON t.i = w.i AND t.unit_id = u.id
  LEFT JOIN place ON place.unit_id = u.id
 WHERE u.state NOT IN ('lost', 'retired') AND u.spec_id IN ({specs})
 GROUP BY u.spec_id, w.i
"""


@dataclass(frozen=True, slots=True)
class Counts:
    """Units of one spec that are in the pool for the whole of one window."""

    owned: int = 0
    held_back: int = 0
    claimed: int = 0
    pencilled: int = 0
    packed: int = 0
    free: int = 0
    movable: int = 0
    """Those claimed by somebody who could be dealt another."""


NOTHING = Counts()


def counts(specs: Sequence[int], windows: Sequence[Period], now: datetime) -> dict[tuple[int, int], Counts]:
    """Return the counts by spec and number of the window; where nothing is in the pool there is no entry."""
    if not specs or not windows:
        return {}
    postgresql = connection.vendor == "postgresql"
    instant = "CAST(%s AS timestamptz)" if postgresql else "%s"
    number = "CAST(%s AS integer)" if postgresql else "%s"
    ids = ", ".join(["%s"] * len(specs))
    statement = COUNTS.format(
        windows=", ".join([f"({number}, {instant}, {instant})"] * len(windows)), now=instant, specs=ids
    )
    adapt = connection.ops.adapt_datetimefield_value
    parameters: list[Any] = []
    for index, window in enumerate(windows):
        parameters += [index, adapt(window.starts_at), adapt(window.ends_at)]
    parameters += [adapt(now), *specs, adapt(now), *specs, *specs]
    with connection.cursor() as cursor:
        cursor.execute(statement, parameters)
        return {(spec, index): Counts(*map(int, row)) for spec, index, *row in cursor.fetchall()}
