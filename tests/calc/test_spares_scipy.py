"""Spares and failure rates against scipy's distributions and exact fractions."""

from math import exp, factorial, nextafter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from calc.errors import BadInput
from calc.spares import failure_rate, spares_needed

confidences = st.floats(0.01, 0.9999)


@given(st.floats(1e-6, 50), st.floats(0.01, 2000), confidences)
def test_spares_last_with_the_confidence_and_one_fewer_do_not(rate_per_day, days, confidence):
    """scipy.stats.poisson; the width is for means at which both sides are equal to the last digit."""
    spares = spares_needed(rate_per_day, days, confidence)
    failures = stats.poisson(rate_per_day * days)
    assert failures.cdf(spares) >= confidence - 1e-9
    assert spares == 0 or failures.cdf(spares - 1) < confidence + 1e-9


@pytest.mark.parametrize("mean", [0.1, 0.972, 2.5, 8.0, 20.0])
@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.95, 0.99, 0.999])
def test_spares_by_adding_up_the_poisson_terms(mean, confidence):
    """The definition: e⁻ᵐ·mᵏ/k!, added up until the confidence is reached."""
    reached, spares = exp(-mean), 0
    while reached < confidence:
        spares += 1
        reached += exp(-mean) * mean**spares / factorial(spares)
    assert spares_needed(mean, 1, confidence) == spares


@pytest.mark.parametrize("confidence", [0.001, 0.5, 0.999999])
def test_the_largest_number_of_failures(confidence):
    expected = stats.poisson.ppf(confidence, 100_000)
    assert spares_needed(1000, 100, confidence) == expected


def test_nothing_that_fails_needs_no_spare():
    assert spares_needed(0, 90, 0.99) == 0
    assert spares_needed(0.1, 0, 0.99) == 0


@given(st.floats(0.001, 5), st.floats(1, 100), confidences, confidences)
def test_more_confidence_never_needs_fewer(rate_per_day, days, one, other):
    low, high = sorted((one, other))
    assert spares_needed(rate_per_day, days, low) <= spares_needed(rate_per_day, days, high)


def test_one_common_store_needs_fewer_than_two_apart():
    """Pooling of the Poisson demand of eight places: Trivedi ch. 6 (after Barlow 1981), 12 against 8 × 3."""
    assert spares_needed(8.0, 1, 0.9) < 8 * spares_needed(1.0, 1, 0.9)


@given(st.integers(0, 5000), st.floats(0.1, 1e6), st.floats(0.01, 0.999))
def test_rate_against_the_gamma_distribution(failures, exposure_days, confidence):
    """scipy.stats.gamma with shape failures + 1/2 (Jeffreys' prior), equal tails."""
    result = failure_rate(failures, exposure_days, confidence)
    rate = stats.gamma(failures + 0.5, scale=1 / exposure_days)
    low, high = rate.interval(confidence)
    assert result.mean_per_day == pytest.approx(rate.mean(), rel=1e-12)
    assert result.low_per_day == pytest.approx(low, rel=1e-9)
    assert result.high_per_day == pytest.approx(high, rel=1e-9)


@pytest.mark.parametrize("failures", [50_000, 100_000])
def test_rate_of_very_many_failures(failures):
    result = failure_rate(failures, 100)
    low, high = stats.gamma(failures + 0.5, scale=1 / 100).interval(0.9)
    assert (result.low_per_day, result.high_per_day) == (pytest.approx(low, rel=1e-9), pytest.approx(high, rel=1e-9))


@pytest.mark.parametrize("failures", [0, 1, 1000])
def test_the_most_confidence_that_a_number_can_hold(failures):
    """One step below 1: the tails are the smallest that there are, and the search still ends."""
    result = failure_rate(failures, 1, nextafter(1, 0))
    rate = stats.gamma(failures + 0.5)
    assert result.low_per_day == pytest.approx(rate.ppf((1 - nextafter(1, 0)) / 2), rel=1e-6)
    assert rate.sf(result.high_per_day) < 1e-15


def test_no_failure_does_not_mean_no_rate():
    result = failure_rate(0, 100)
    assert 0 < result.low_per_day < result.mean_per_day < result.high_per_day


@given(st.integers(0, 50), st.floats(1, 1000), st.floats(0.1, 10))
def test_the_unit_of_time_does_not_matter(failures, exposure_days, factor):
    one, other = failure_rate(failures, exposure_days), failure_rate(failures, exposure_days * factor)
    assert other.high_per_day * factor == pytest.approx(one.high_per_day)
    assert other.low_per_day * factor == pytest.approx(one.low_per_day)


def test_the_interval_covers_the_rate_as_often_as_it_says():
    """Averaged over rates, a 90 % interval by Jeffreys' rule holds the true rate in about 90 % of all samples."""
    covered = []
    for rate in (0.02, 0.05, 0.1, 0.2, 0.3):
        for failures in range(80):
            result = failure_rate(failures, 100)
            if result.low_per_day <= rate <= result.high_per_day:
                covered.append(stats.poisson.pmf(failures, rate * 100) / 5)
    assert sum(covered) == pytest.approx(0.9, abs=0.03)


@pytest.mark.parametrize(
    ("arguments", "argument"),
    [
        ((-0.1, 90, 0.9), "rate_per_day"),
        ((0.1, -90, 0.9), "days"),
        ((0.1, 90, 0), "confidence"),
        ((0.1, 90, 1), "confidence"),
        ((0.1, 90, 1.5), "confidence"),
        ((1000.001, 100, 0.9), "rate_per_day"),
    ],
)
def test_spares_that_cannot_be_reckoned(arguments, argument):
    with pytest.raises(BadInput) as error:
        spares_needed(*arguments)
    assert error.value.argument == argument


@pytest.mark.parametrize(
    ("arguments", "argument"),
    [((-1, 90), "failures"), ((1.5, 90), "failures"), ((1, 0), "exposure_days"), ((1, 90, 1), "confidence")],
)
def test_rates_that_cannot_be_reckoned(arguments, argument):
    with pytest.raises(BadInput) as error:
        failure_rate(*arguments)
    assert error.value.argument == argument
