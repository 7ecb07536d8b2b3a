"""The conditions that several queries share: their spellings answer alike, and the lists of gear agree."""

from datetime import datetime, timedelta

import pytest
from django.db import connection
from django.utils import timezone

from inventory.base.predicates import InstantColumn, sql_of
from inventory.models import Downtime, Kit, Spec, Unit
from inventory.models.unit import OUT_OF_POOL, UnitState
from inventory.rows import believed_end, down_at, down_in, end_expected, has_case, in_pool, packed_in
from tests.inventory.gear import Gear

pytestmark = pytest.mark.django_db

NOW = timezone.now().replace(microsecond=0)


def at(days: float | None) -> datetime | None:
    return None if days is None else NOW + timedelta(days=days)


DOWNTIMES = [
    (start, end, expected)
    for start in (-4, 0, 2)
    for end in (None, -1, 0, 1, 4)
    for expected in (None, -1, 0, 1, 4)
    if (end is None or end > start) and (expected is None or expected > start)
]
"""Start, recorded end and expected end, in days from now."""
WINDOWS = [(-3, -2), (-1, 1), (0, 1), (1, 2), (3, 5), (4, 6)]


def expected_to_block(downtime: tuple[float, float | None, float | None], window: tuple[float, float]) -> bool:
    """Return the answer by the words of the rule, independent of both spellings."""
    start, end, expected = downtime
    believed = end if end is not None else expected if expected is not None and expected > 0 else float("inf")
    return start < window[1] and believed > window[0]


def enter_downtimes(gear: Gear) -> dict[int, tuple[float, float | None, float | None]]:
    spec = gear.spec()
    units = gear.units(spec, len(DOWNTIMES))
    return {
        Downtime.objects.create(
            unit_id=unit, cause="other", starts_at=at(start), ends_at=at(end), expected_until=at(expected)
        ).pk: (start, end, expected)
        for unit, (start, end, expected) in zip(units, DOWNTIMES, strict=True)
    }


@pytest.mark.parametrize("window", WINDOWS)
def test_a_downtime_covers_a_window_alike_in_a_query_in_sql_and_by_its_believed_end(gear, window) -> None:
    known = enter_downtimes(gear)
    blocking = {key for key, downtime in known.items() if expected_to_block(downtime, window)}
    starts_at, ends_at = at(window[0]), at(window[1])
    assert starts_at is not None
    assert ends_at is not None
    assert set(Downtime.objects.filter(down_in(starts_at, ends_at, NOW)).values_list("pk", flat=True)) == blocking
    written = sql_of(
        down_in(InstantColumn("u.available_from"), InstantColumn("u.available_until"), NOW), {Downtime: "d"}
    )
    Unit.objects.update(available_from=starts_at, available_until=ends_at)
    with connection.cursor() as cursor:
        statement = (
            f"SELECT d.id FROM inventory_downtime d JOIN inventory_unit u ON u.id = d.unit_id WHERE {written.sql}"
        )
        cursor.execute(statement, written.parameters)
        assert {row[0] for row in cursor.fetchall()} == blocking
    ends = {row.pk: believed_end(row.ends_at, row.expected_until, NOW) for row in Downtime.objects.all()}
    starts = dict(Downtime.objects.values_list("pk", "starts_at"))
    assert {key for key, end in ends.items() if starts[key] < ends_at and (end is None or end > starts_at)} == blocking


def test_an_expected_end_is_believed_while_it_is_still_to_come_and_nothing_else_is_recorded(gear) -> None:
    known = enter_downtimes(gear)
    believed = set(Downtime.objects.filter(end_expected(NOW)).values_list("pk", flat=True))
    assert believed == {
        key for key, (_, end, expected) in known.items() if end is None and expected is not None and expected > 0
    }


def test_a_unit_is_down_now_from_the_instant_its_downtime_starts_until_it_ends(gear) -> None:
    known = enter_downtimes(gear)
    down = set(Downtime.objects.filter(down_at(NOW)).values_list("pk", flat=True))
    assert down == {key for key, (start, end, _) in known.items() if start <= 0 and (end is None or end > 0)}


def test_the_pool_is_the_same_in_a_query_in_sql_and_in_the_list_of_data_sheets(gear) -> None:
    spec = gear.spec()
    units = gear.units(spec, len(UnitState.values))
    for unit, state in zip(units, UnitState, strict=True):
        Unit.objects.filter(pk=unit).update(state=state)
    pool = set(Unit.objects.filter(in_pool(), spec=spec).values_list("state", flat=True))
    assert pool == {state.value for state in UnitState} - OUT_OF_POOL
    with connection.cursor() as cursor:
        written = sql_of(in_pool(), {Unit: "u"})
        statement = f"SELECT state FROM inventory_unit u WHERE u.spec_id = %s AND {written.sql}"
        cursor.execute(statement, [spec, *written.parameters])
        assert {row[0] for row in cursor.fetchall()} == pool
    assert Spec.objects.filter(in_pool("units"), pk=spec).count() == len(pool)
    from inventory.selectors.specs import spec_summaries

    assert spec_summaries().get(pk=spec)["owned"] == len(pool)  # a lost unit is no more owned here than in availability


def test_a_case_inside_another_kit_is_packed_there(gear) -> None:
    inner = gear.kit()
    spec = Unit.objects.get(pk=inner["case"]).spec_id
    assert Unit.objects.values(kit=packed_in().values("kit_id")[:1]).get(pk=inner["case"])["kit"] == inner["id"]
    outer = gear.kit([{"label": "inner", "spec": spec, "unit": inner["case"]}])
    assert Unit.objects.values(kit=packed_in().values("kit_id")[:1]).get(pk=inner["case"])["kit"] == outer["id"]
    assert list(Kit.objects.filter(has_case()).order_by("pk").values_list("pk", flat=True)) == [
        inner["id"],
        outer["id"],
    ]
