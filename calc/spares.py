"""How often a thing fails, and how many spares to carry."""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, inf, lgamma, log

from calc.errors import BadInput, require_number, require_whole

_LARGEST_MEAN = 1e5
_JEFFREYS_FAILURES = 0.5
_PRECISION = 1e-15


@dataclass(frozen=True, slots=True, kw_only=True)
class FailureRate:
    """A rate of failures with the range that it lies in."""

    mean_per_day: float
    low_per_day: float
    high_per_day: float
    confidence: float
    """Probability that the rate lies between low and high; as much is left above as below. [-]"""


def spares_needed(rate_per_day: float, days: float, confidence: float) -> int:
    """Return the least number of spares that lasts with the given probability: the least s with P(failures ≤ s) ≥ c.

    Args:
        rate_per_day: Failures in a day of all the things that share the spares. [1/d]
        days: Time without new spares. [d]
        confidence: Probability that the spares last, above 0 and below 1. [-]

    Raises:
        BadInput: a negative rate or time, more than 100 000 failures expected, or a confidence that is not between
            0 and 1 (no number of spares makes it certain).

    Source: Poisson distribution; Birolini, Reliability Engineering.
    """
    require_number("rate_per_day", rate_per_day, least=0)
    require_number("days", days, least=0)
    _require_confidence(confidence)
    mean = rate_per_day * days
    if mean > _LARGEST_MEAN:
        raise BadInput("rate_per_day", rate_per_day, f"at most {_LARGEST_MEAN:g} failures expected in {days:g} days")
    if mean == 0:
        return 0
    return _least(lambda spares: _upper_gamma_share(spares + 1, mean) >= confidence)


def failure_rate(failures: int, exposure_days: float, confidence: float = 0.9) -> FailureRate:
    """Return the rate that observed failures speak for: mean and equal-tailed interval.

    Before anything was observed the rate is taken by Jeffreys' rule, so that no failure in a short time is not
    mistaken for a thing that never fails: the rate is then Gamma distributed with shape failures + 1/2 and the
    exposure as its rate.

    Args:
        failures: Failures observed. [-]
        exposure_days: Time of use of all the things together in which they were observed. [d]
        confidence: Probability that the rate lies in the interval, above 0 and below 1. [-]

    Raises:
        BadInput: a negative number of failures or more than 100 000, no exposure, or a confidence not between 0
            and 1.

    Source: Gamma–Poisson conjugate pair with Jeffreys' prior; NUREG/CR-6823, Handbook of Parameter Estimation for
        Probabilistic Risk Assessment (title from memory).
    """
    require_whole("failures", failures, least=0, most=int(_LARGEST_MEAN))
    require_number("exposure_days", exposure_days, above=0)
    _require_confidence(confidence)
    shape = failures + _JEFFREYS_FAILURES
    tail = (1 - confidence) / 2
    return FailureRate(
        mean_per_day=shape / exposure_days,
        low_per_day=_gamma_quantile(shape, tail) / exposure_days,
        high_per_day=_gamma_quantile(shape, 1 - tail) / exposure_days,
        confidence=confidence,
    )


def _require_confidence(confidence: float) -> None:
    require_number("confidence", confidence, above=0)
    if confidence >= 1:
        raise BadInput("confidence", confidence, "a finite number above 0 and below 1")


def _least(holds: Callable[[int], bool]) -> int:
    """Return the least whole number from 0 on which a monotone statement holds."""
    high = 1
    while not holds(high):
        high *= 2
    low = -1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high


def _gamma_quantile(shape: float, share: float) -> float:
    """Return the x below which the given share of a Gamma distribution of unit rate lies, by bisection."""
    low, high = 0.0, shape + 1
    while _lower_gamma_share(shape, high) < share:
        low, high = high, 2 * high
    while low < (middle := (low + high) / 2) < high:
        low, high = (middle, high) if _lower_gamma_share(shape, middle) < share else (low, middle)
    return high


def _lower_gamma_share(shape: float, x: float) -> float:
    """Return the regularised lower incomplete gamma function P(shape, x) for x above 0."""
    return _series(shape, x) if x < shape + 1 else 1 - _continued_fraction(shape, x)


def _upper_gamma_share(shape: float, x: float) -> float:
    """Return the regularised upper incomplete gamma function Q(shape, x) for x above 0: P(Poisson(x) < shape)."""
    return 1 - _series(shape, x) if x < shape + 1 else _continued_fraction(shape, x)


def _series(shape: float, x: float) -> float:
    """P by its power series, which converges quickly for x < shape + 1 (Abramowitz and Stegun 6.5.29)."""
    term = total = 1 / shape
    step = shape
    while term > total * _PRECISION:
        step += 1
        term *= x / step
        total += term
    return total * _front(shape, x)


def _continued_fraction(shape: float, x: float) -> float:
    """Q by its continued fraction, which converges quickly for x ≥ shape + 1 (Abramowitz and Stegun 6.5.31)."""
    b = x + 1 - shape
    c = inf
    d = 1 / b
    fraction = d
    factor = inf
    i = 0
    while abs(factor - 1) > _PRECISION:
        i += 1
        a = -i * (i - shape)
        b += 2
        d = 1 / (a * d + b)  # for x ≥ shape + 1 this denominator and c stay at least i + 1: never 0
        c = b + a / c
        factor = c * d
        fraction *= factor
    return fraction * _front(shape, x)


def _front(shape: float, x: float) -> float:
    return exp(shape * log(x) - x - lgamma(shape))
