"""The sums that stand beside the findings: power, heat and weight of a whole kit."""

from calc.checks.findings import Figures, SourceFigure
from calc.checks.poe_budget import budgets
from calc.wiring import Wired


def figures(wired: Wired) -> Figures:
    """Return the figures of a wired kit; a sum with an unknown part is not known."""
    return Figures(
        mains_va=None,
        mains_a=None,
        heat_w=None,
        case_rise_celsius=None,
        weight_kg=_weight_kg(wired),
        poe=_poe(wired),
    )


def _weight_kg(wired: Wired) -> float | None:
    """Return the weight of everything the kit plans, cables of links included. [kg]"""
    weights = [place.spec.weight_kg for place in wired.places.values()]
    weights += [joint.cable.weight_kg for joint in wired.joints if joint.cable and joint.link.cable is None]
    known = [weight for weight in weights if weight is not None]
    return sum(known) if known and len(known) == len(weights) else None


def _poe(wired: Wired) -> list[SourceFigure]:
    """Return each source of power over Ethernet with what drawn links make it set aside."""
    return [
        SourceFigure(
            position=place_id,
            label=budget.place.label,
            budget_w=round(budget.available_w[0], 3) if budget.is_known else None,
            allotted_w=budget.high_w if budget.low_w == budget.high_w else None,
        )
        for place_id, budget in budgets(wired).items()
    ]
