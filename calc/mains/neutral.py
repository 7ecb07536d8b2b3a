"""What harmonics do to phase and neutral of a three-phase feed with a load between each phase and neutral."""

from math import hypot, sqrt

from calc.errors import require_number

MOST_THIRD_HARMONIC = 3.0
"""Far above what any supply makes; refuses a percentage written for a ratio."""


def neutral_current_a(l1_a: float, l2_a: float, l3_a: float, third_harmonic: float = 0.0) -> float:
    """Return the neutral current, fundamental and third harmonic combined. [A]

    The fundamentals partly cancel, the third harmonics of all phases are in step and add. At a third harmonic of 0 this
    is the textbook formula, which is no answer for switch-mode supplies.

    Args:
        l1_a: Fundamental current of the first phase. [A]
        l2_a: Of the second. [A]
        l3_a: Of the third. [A]
        third_harmonic: Third harmonic over fundamental, the same in each phase. [-]

    Raises:
        BadInput: a negative current, or a ratio outside 0 to 3.

    Source: textbook, √(A² + B² + C² − AB − BC − CA) at equal power factor; IEC 60364-5-52 on triplen harmonics.
    """
    for argument, value in (("l1_a", l1_a), ("l2_a", l2_a), ("l3_a", l3_a)):
        require_number(argument, value, least=0)
    require_number("third_harmonic", third_harmonic, least=0, most=MOST_THIRD_HARMONIC)
    # Half the sum of squared differences equals the formula and cannot turn negative by rounding.
    fundamental = sqrt(((l1_a - l2_a) ** 2 + (l2_a - l3_a) ** 2 + (l3_a - l1_a) ** 2) / 2)
    return hypot(fundamental, third_harmonic * (l1_a + l2_a + l3_a))


def phase_current_a(fundamental_a: float, third_harmonic: float = 0.0) -> float:
    """Return the effective current of one phase, fundamental and third harmonic combined. [A]

    Args:
        fundamental_a: Fundamental current. [A]
        third_harmonic: Third harmonic over fundamental. [-]

    Raises:
        BadInput: a negative current, or a ratio outside 0 to 3.

    Source: textbook, √(I₁² + I₃²).
    """
    require_number("fundamental_a", fundamental_a, least=0)
    require_number("third_harmonic", third_harmonic, least=0, most=MOST_THIRD_HARMONIC)
    return fundamental_a * hypot(1, third_harmonic)
