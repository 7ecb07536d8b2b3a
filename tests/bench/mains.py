"""How long the spread of loads over circuits takes, and how good its answer is within the limit of work."""

from random import Random
from time import perf_counter

from calc.mains import Circuit, Load, Spread, spread

SIZES = ((6, 4), (20, 6), (40, 12), (60, 24))


def measure() -> list[tuple[str, float, str]]:
    """Return (what, figure, unit): by size the time, the difference between the legs, and whether it is proven."""
    spread([Load("one", 300, 0), Load("or the other", 300, 0)], [Circuit("warm-up", 2, 230, "L1", None)], "iec")
    rows: list[tuple[str, float, str]] = []
    for loads, circuits in SIZES:
        started = perf_counter()
        answer = _unlike(loads, circuits)
        rows += [
            (f"spread, {loads} unlike loads on {circuits} circuits", (perf_counter() - started) * 1000, "ms"),
            (f"spread, {loads} on {circuits}, difference between legs", _difference_a(answer) * 1000, "mA"),
            (f"spread, {loads} on {circuits}, proven best", float(answer.proven), "1 = yes"),
        ]
    return rows


def _unlike(loads: int, circuits: int) -> Spread:
    rng = Random(loads)
    return spread(
        [Load(f"load {n}", rng.randrange(50, 900), 0.75) for n in range(loads)],
        [Circuit(f"circuit {n}", 16, 230, f"L{n % 3 + 1}", 30) for n in range(circuits)],
        "iec",
    )


def _difference_a(answer: Spread) -> float:
    return max(answer.per_leg_a.values()) - min(answer.per_leg_a.values())
