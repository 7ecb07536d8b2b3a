"""One newcomer in a full calendar of two hundred units and two thousand requests."""

from random import Random
from time import perf_counter

from calc.intervals import Request, assign

UNITS = range(200)
SEEDS = range(10)
# length of the newcomer's period, share of units that a request accepts
KINDS = {
    "alike units, short period": (3, 1.0),
    "alike units, long period": (8, 1.0),
    "unlike units, short period": (3, 0.3),
    "unlike units, long period": (8, 0.3),
}


def measure() -> list[tuple[str, float, str]]:
    """Return the median and the worst time by kind of case, with moves and what was proven."""
    rows = []
    for kind, (length, share) in KINDS.items():
        times, moves, proofs = [], [], []
        for seed in SEEDS:
            requests = calendar(Random(seed), length, share)
            start = perf_counter()
            answer = assign(requests, UNITS)
            times.append((perf_counter() - start) * 1000)
            moves.append(answer.moves)
            proofs.append(answer.proof)
        rows += [
            (f"assign, {kind}: median", sorted(times)[len(times) // 2], "ms"),
            (f"assign, {kind}: worst", max(times), "ms"),
            (f"assign, {kind}: most moves", max(moves), ""),
            *((f"assign, {kind}: {proof}", proofs.count(proof), f"of {len(proofs)}") for proof in sorted(set(proofs))),
        ]
    return rows


def calendar(random: Random, length: int, share: float) -> list[Request]:
    """Return two thousand requests that stand, ten to a unit with short gaps, and one newcomer that fits in no gap."""
    sizes = random.choices(range(1, 9), k=2_000)
    requests = []
    for unit in UNITS:
        day = random.randrange(3)
        for size in sizes[unit * 10 : unit * 10 + 10]:
            accepted = frozenset({unit, *random.sample(UNITS, int(share * len(UNITS)))}) if share < 1 else UNITS
            requests.append(Request(f"r{len(requests)}", day, day + size, accepted, now_on=unit))
            day += size + random.choice([0, 0, 0, 1, 2])
    start = _crowded_day(requests, length)
    accepted = random.sample(UNITS, int(share * len(UNITS))) if share < 1 else UNITS
    return [*requests, Request("newcomer", start, start + length, accepted)]


def _crowded_day(requests: list[Request], length: int) -> int:
    """Return the day from which on fewest units are free throughout, but where at each instant some unit is free."""

    def taken(start: int, end: int) -> int:
        return len({one.now_on for one in requests if one.starts_at < end and start < one.ends_at})

    days = [
        day
        for day in range(5, 40)
        if all(taken(later, later + 1) < len(UNITS) - 1 for later in range(day, day + length))
    ]
    return max(days, key=lambda day: (taken(day, day + length), -day))
