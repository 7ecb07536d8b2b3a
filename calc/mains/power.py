"""From watts and labels to amperes, and what a circuit may carry."""

from math import sqrt

from calc.errors import require_number, require_one_of
from calc.rules import rule_set
from calc.vocabulary import RULE_SETS


def apparent_power_va(watts: float, power_factor: float) -> float:
    """Return the apparent power of a load. [VA]

    Args:
        watts: Active power. [W]
        power_factor: Active over apparent power, distortion included. [-]

    Raises:
        BadInput: negative watts, or a power factor that is not above 0 and at most 1.

    Source: definition, IEC 60050-131.
    """
    require_number("watts", watts, least=0)
    require_number("power_factor", power_factor, above=0, most=1)
    return watts / power_factor


def current_a(va: float, volts: float, phases: int = 1) -> float:
    """Return the line current of a load. [A]

    Args:
        va: Apparent power of the whole load. [VA]
        volts: Across the load for 1 phase; line to line for 3. [V]
        phases: 1, or 3 (balanced). [-]

    Raises:
        BadInput: negative power, no volts, or phases other than 1 and 3.

    Source: definition, IEC 60050-131.
    """
    require_number("va", va, least=0)
    require_number("volts", volts, above=0)
    require_one_of("phases", phases, (1, 3))
    return va / volts if phases == 1 else va / (sqrt(3) * volts)


def label_va(rated_a: float, at_volts: float) -> float:
    """Return the apparent power that a label states. [VA]

    A label "100–240 V, 1.6 A" is 160 VA: the amperes are drawn at the lowest of the volts.

    Args:
        rated_a: Current on the label. [A]
        at_volts: Lowest voltage on the label. [V]

    Raises:
        BadInput: no current or no volts.

    Source: common practice.
    """
    require_number("rated_a", rated_a, above=0)
    require_number("at_volts", at_volts, above=0)
    return rated_a * at_volts


def continuous_limit_a(breaker_a: float, rules: str = "north_america") -> float:
    """Return the most that a circuit may carry for hours. [A]

    Under ``"iec"`` that is the breaker's own rating (at its reference ambient, not grouped); the headroom of one fifth
    is common practice there and no limit: ``RuleSet.headroom_caution_share``.

    Args:
        breaker_a: Rating of the breaker. [A]
        rules: Name of the rule set. [-]

    Raises:
        BadInput: no rating, or unknown rules.

    Source: NFPA 70 210.20(A); IEC 60898-1 from memory.
    """
    require_number("breaker_a", breaker_a, above=0)
    require_one_of("rules", rules, RULE_SETS)
    return breaker_a / rule_set(rules).continuous_factor
