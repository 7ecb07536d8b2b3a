"""How many units of each spec there are in each window, and in what state: one statement for the whole table."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import chain

from django.db import connection

from inventory.base.predicates import Fragment, InstantColumn, filled, sql_of
from inventory.models import Downtime, Unit
from inventory.rows import down_in, in_pool
from scheduling.models import Booking, Claim
from scheduling.promises.decide import Period
from scheduling.rows import allocated_freely, firm, holding, overlapping, soft, unreleased


class _Window:
    """The window of the row ``w`` of the statement."""

    starts_at = InstantColumn("w.s")
    ends_at = InstantColumn("w.e")


COUNTS = """
WITH w(i, s, e) AS (VALUES {windows}),
hit(i, unit_id, firm, soft, down, movable) AS (
    SELECT w.i, c.unit_id,
           CASE WHEN {firm} THEN 1 ELSE 0 END,
           CASE WHEN {soft} THEN 1 ELSE 0 END,
           0,
           CASE WHEN {movable} THEN 1 ELSE 0 END
      FROM w
      JOIN scheduling_claim c ON {claimed}
      JOIN scheduling_booking b ON b.id = c.booking_id AND {holding}
      JOIN inventory_unit u ON u.id = c.unit_id AND u.spec_id IN ({specs})
    UNION ALL
    SELECT w.i, d.unit_id, 0, 0, 1, 0
      FROM w
      JOIN inventory_downtime d ON {down}
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
 WHERE {in_pool} AND u.spec_id IN ({specs})
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
    """Those whose claim may be given another unit; where it has begun it may not, which is decided after reading."""


NOTHING = Counts()


def counts(specs: Sequence[int], windows: Sequence[Period], now: datetime) -> dict[tuple[int, int], Counts]:
    """Return the counts by spec and number of the window; where nothing is in the pool there is no entry."""
    if not specs or not windows:
        return {}
    statement = _statement(specs, windows, now)
    with connection.cursor() as cursor:
        cursor.execute(statement.sql, statement.parameters)
        return {(spec, index): Counts(*map(int, row)) for spec, index, *row in cursor.fetchall()}


def _statement(specs: Sequence[int], windows: Sequence[Period], now: datetime) -> Fragment:
    claim = {Claim: "c", Booking: "b"}
    return filled(
        COUNTS,
        windows=_windows(windows),
        specs=Fragment(", ".join(["%s"] * len(specs)), list(specs)),
        firm=sql_of(firm(), claim),
        soft=sql_of(soft(), claim),
        movable=sql_of(firm() & allocated_freely(), claim),
        claimed=sql_of(unreleased() & overlapping(_Window), claim),
        holding=sql_of(holding(now), claim),
        down=sql_of(down_in(_Window.starts_at, _Window.ends_at, now), {Downtime: "d"}),
        in_pool=sql_of(in_pool(), {Unit: "u"}),
    )


def _windows(windows: Sequence[Period]) -> Fragment:
    """Return the rows of ``w``; PostgreSQL has to be told the types of values that come first."""
    postgresql = connection.vendor == "postgresql"
    row = "(CAST(%s AS integer), CAST(%s AS timestamptz), CAST(%s AS timestamptz))" if postgresql else "(%s, %s, %s)"
    adapt = connection.ops.adapt_datetimefield_value
    values = [(index, adapt(window.starts_at), adapt(window.ends_at)) for index, window in enumerate(windows)]
    return Fragment(", ".join([row] * len(values)), list(chain.from_iterable(values)))
