"""Two kits side by side: what they offer, what their checks find, what they weigh and cost."""

from decimal import Decimal
from typing import NotRequired, TypedDict

from django.utils import timezone

from calc.checks import run
from calc.rig.kit import Kit as KitFacts
from calc.vocabulary import NOTHING_FOUND
from inventory.assembly import calculating, read_kits
from inventory.capability_document import capability_document
from inventory.models import Kit, Position
from inventory.selectors.briefs import BriefShape, brief_of
from inventory.selectors.capability import CapabilityShape, capability_shape
from inventory.selectors.checks import RangeShape, range_shape
from inventory.selectors.plan_differences import (
    ConnectionDifferenceShape,
    PlaceDifferenceShape,
    connections_that_differ,
    places_that_differ,
)


class ComparedFindingShape(TypedDict):
    """A finding of the plan."""

    code: str
    severity: str
    label: str
    port: str | None
    value: float | None
    limit: float | None
    margin: float | None
    at_least: bool
    range: RangeShape | None
    unit: str | None
    message: str


class CostShape(TypedDict):
    """Replacement cost of what is planned, by currency; ``unknown`` counts positions whose spec has none."""

    by_currency: dict[str, str]
    unknown: int


class SideShape(TypedDict):
    kit: int
    name: str
    verdict: str
    findings: list[ComparedFindingShape]
    brief: BriefShape | None
    """What is asked of it."""
    capability: CapabilityShape
    weight_kg: float | None
    cost: NotRequired[CostShape]


class ComparisonShape(TypedDict):
    """Both sides judged as planned; ``only_a`` and ``only_b`` are the messages that the other side lacks."""

    a: SideShape
    b: SideShape
    only_a: list[str]
    only_b: list[str]
    places: list[PlaceDifferenceShape]
    connections: list[ConnectionDifferenceShape]


def compare_kits(a: int, b: int, *, money: bool) -> ComparisonShape | None:
    """Return two kits side by side, as planned, or None when one does not exist; seven statements at most.

    Raises:
        ContentsRefusedError: calculation does not take what is in one of them.
    """
    versions = dict(Kit.objects.filter(pk__in={a, b}).values_list("pk", "version"))
    kits = read_kits({a, b})
    if len(versions) < len({a, b}) or len(kits) < len({a, b}):
        return None
    one, other = (_side(kits[kit_id], versions[kit_id], money=money) for kit_id in (a, b))
    messages = [{finding["message"] for finding in side["findings"]} for side in (one, other)]
    return {
        "a": one,
        "b": other,
        "only_a": sorted(messages[0] - messages[1]),
        "only_b": sorted(messages[1] - messages[0]),
        "places": places_that_differ(kits[a], kits[b]),
        "connections": connections_that_differ(kits[a], kits[b]),
    }


def _side(kit: KitFacts, version: int, *, money: bool) -> SideShape:
    with calculating(kit):
        result = run(kit, timezone.now())
    offers = capability_shape(kit.id, version, capability_document(result.capability))
    side: SideShape = {
        "kit": kit.id,
        "name": kit.name,
        "verdict": result.verdicts["design"] or NOTHING_FOUND,
        "findings": [
            {
                "code": finding.code,
                "severity": finding.severity,
                "label": finding.subject.label,
                "port": finding.subject.port,
                "value": finding.value,
                "limit": finding.limit,
                "margin": finding.margin,
                "at_least": finding.at_least,
                "range": range_shape(finding.range.low, finding.range.high) if finding.range else None,
                "unit": finding.unit or None,
                "message": finding.message,
            }
            for finding in result.findings
            if "design" in finding.views
        ],
        "brief": brief_of(kit),
        "capability": offers,
        "weight_kg": offers["weight_kg"],
    }
    if money:
        side["cost"] = _cost(kit.id)
    return side


def _cost(kit_id: int) -> CostShape:
    totals: dict[str, Decimal] = {}
    unknown = 0
    rows = Position.objects.filter(kit_id=kit_id).values_list("spec__replacement_cost", "spec__currency")
    for cost, currency in rows:
        if cost is None:
            unknown += 1
        else:
            totals[currency] = totals.get(currency, Decimal(0)) + cost
    return {"by_currency": {currency: str(totals[currency]) for currency in sorted(totals)}, "unknown": unknown}
