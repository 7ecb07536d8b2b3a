"""Protective-conductor current against the residual-current device in front of it."""

from dataclasses import dataclass

from calc.errors import require_number, require_one_of
from calc.rules import rule_set
from calc.vocabulary import RULE_SETS


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakageSteps:
    """From where standing leakage is more than good practice, and from where the device may trip."""

    caution_above_ma: float
    stop_from_ma: float


def leakage_limit_ma(rcd_ma: float) -> float:
    """Return the most standing leakage behind a residual-current device. [mA]

    Args:
        rcd_ma: Rated residual current. [mA]

    Raises:
        BadInput: no rated current.

    Source: BS 7671:2018 531.3.2, IEC 60364-5-53: 30 %.
    """
    require_number("rcd_ma", rcd_ma, above=0)
    return rcd_ma * rule_set("iec").residual_caution_share


def leakage_steps_ma(rcd_ma: float, rules: str) -> LeakageSteps:
    """Return the two steps of standing leakage behind a residual-current device of a region. [mA]

    A North American device rated up to 6 mA is taken as class A, which has steps of its own; no published rule there
    covers others, and the shares of the IEC stand in.

    Args:
        rcd_ma: Rated residual current. [mA]
        rules: Name of the rule set. [-]

    Raises:
        BadInput: no rated current, or unknown rules.

    Source: as ``calc.rules.RuleSet.citations`` names them; the upper steps from memory.
    """
    require_number("rcd_ma", rcd_ma, above=0)
    require_one_of("rules", rules, RULE_SETS)
    chosen = rule_set(rules)
    caution, stop, most = chosen.class_a_caution_ma, chosen.class_a_stop_ma, chosen.class_a_most_rated_ma
    if caution is not None and stop is not None and most is not None and rcd_ma <= most:
        return LeakageSteps(caution_above_ma=caution, stop_from_ma=stop)
    return LeakageSteps(
        caution_above_ma=rcd_ma * chosen.residual_caution_share, stop_from_ma=rcd_ma * chosen.residual_stop_share
    )
