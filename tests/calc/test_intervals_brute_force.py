"""Every way to give units to small random sets of requests, enumerated here and compared."""

from collections import Counter
from dataclasses import replace
from random import Random

import pytest

from calc.intervals import Effort, Request, assign

CASES, SEEDS = 3_000, 20


def clash(one, other):
    return one.starts_at < other.ends_at and other.starts_at < one.ends_at


def best_of_all(requests, units):
    """Return (most placed, most of these on a unit now, fewest moves) over every assignment: request by request.

    Fixed requests hold their units throughout; a unit that a fixed request holds is nobody else's.
    """
    fixed = [request for request in requests if request.fixed is not None]
    movable = [request for request in requests if request.fixed is None]
    best = (-1, 0, 0)

    def choose(number, held, placed, on_one, stayed):
        nonlocal best
        if placed + len(movable) - number < best[0]:
            return
        if number == len(movable):
            best = max(best, (placed, on_one, stayed))
            return
        request = movable[number]
        for unit in units:
            if unit in request.acceptable and not any(where == unit and clash(request, other) for other, where in held):
                choose(
                    number + 1,
                    [*held, (request, unit)],
                    placed + 1,
                    on_one + (request.now_on is not None),
                    stayed + (request.now_on == unit),
                )
        choose(number + 1, held, placed, on_one, stayed)

    choose(0, [(request, request.fixed) for request in fixed], 0, 0, 0)
    return best[0], best[1], best[1] - best[2], len(movable)


def random_requests(random, units):
    """A calendar that stands, one with clashes, one that is to be made; or a full one and a newcomer."""
    plan = random.choice(["new", "standing", "any", "full", "full", "full"])
    if plan == "full":
        return full_calendar(random, units)
    on_one = {"new": 0, "standing": 0.9, "any": 0.5}[plan]
    span = random.choice([4, 8, 12])
    choice = random.choice([len(units), None])
    requests = []
    for number in range(random.randint(0, 8)):
        start = random.randrange(span)
        acceptable = random.sample(units, random.randint(0, len(units)) if choice is None else choice)
        request = Request(f"r{number}", start, start + random.randint(1, 5), acceptable)
        if random.random() < 0.08:
            request = replace(request, fixed=random.choice([*units, "elsewhere"]))
        elif random.random() < on_one:
            request = replace(request, now_on=random.choice([*units, *acceptable, *acceptable]))
        requests.append(request)
    return requests if plan == "any" else without_clashes(requests)


def full_calendar(random, units):
    """Return a newcomer who finds a gap at each instant, but hardly on one unit throughout."""
    start, end = 4, 4 + random.randint(2, 5)
    middle = random.randint(start + 1, end - 1)
    requests = [Request("newcomer", start, end, units)]
    for unit in random.sample(units, len(units)):
        cut = random.choice([middle, middle, random.randint(start, end)])
        held = [(start - random.randint(0, 3), cut - random.randint(0, 1)), (cut, end + random.randint(0, 3))]
        for day, until in random.sample(held, random.choice([1, 1, 1, 2])):
            if day < until and len(requests) < 8:
                others = random.sample(units, random.choice([len(units), random.randint(0, len(units))]))
                fixed = unit if random.random() < 0.05 else None
                requests.append(Request(f"r{len(requests)}", day, until, {unit, *others}, fixed=fixed, now_on=unit))
    return requests


def without_clashes(requests):
    """Drop who is on a unit that somebody before is on at the same time: as things stand in a sound calendar."""
    kept = []
    for request in requests:
        unit = request.fixed or request.now_on
        if unit is None or not any(clash(request, other) for other in kept if unit in (other.fixed, other.now_on)):
            kept.append(request)
    return kept


def assert_nothing_twice(answer, requests, units):
    by_id = {request.id: request for request in requests}
    assert sorted([*answer.assigned, *answer.unplaced]) == sorted(by_id)
    for name, unit in answer.assigned.items():
        request = by_id[name]
        assert unit == request.fixed if request.fixed is not None else unit in request.acceptable and unit in units
        for other in requests:
            held = other.fixed if other.fixed is not None else answer.assigned.get(other.id)
            if other is not request and held == unit and clash(request, other):
                assert request.fixed is not None
                assert other.id in answer.unplaced
    moved = [
        one.id for one in requests if one.id in answer.assigned and one.now_on not in (None, answer.assigned[one.id])
    ]
    assert (answer.moved, answer.moves) == (moved, len(moved))


def assert_best(answer, requests, units):
    assert_nothing_twice(answer, requests, units)
    assert answer.proof != "undecided"
    assert answer.largest
    placed, on_one, moves, movable = best_of_all(requests, units)
    by_id = {request.id: request for request in requests if request.fixed is None}
    given = [by_id[name] for name in answer.assigned if name in by_id]
    assert len(given) == placed
    assert sum(request.now_on is not None for request in given) == on_one
    if answer.unplaced:
        assert answer.proof in ("bound", "exact")
    if placed == movable:
        assert sum(request.id in answer.moved for request in given) == moves
    if not answer.unplaced:
        assert answer.proof in ("free", "exact")


def cases(seed):
    random = Random(seed)
    for _ in range(CASES // SEEDS):
        units = [f"u{number}" for number in range(random.choice([1, 2, 2, 3, 3, 4, 5, 6]))]
        yield random_requests(random, units), units


@pytest.mark.parametrize("seed", range(SEEDS))
def test_the_answer_is_the_best_of_all(seed):
    for requests, units in cases(seed):
        assert_best(assign(requests, units), requests, units)


@pytest.mark.parametrize(("seed", "looks"), [(SEEDS, 0), (SEEDS + 1, 30), (SEEDS + 2, 60)])
def test_so_it_is_where_the_search_gives_up_and_the_solver_is_asked(seed, looks):
    for requests, units in cases(seed):
        assert_best(assign(requests, units, effort=Effort(looks=looks)), requests, units)


def test_the_cases_reach_every_stage():
    seen = Counter()
    for seed in range(SEEDS, SEEDS + 4):
        for requests, units in cases(seed):
            answer = assign(requests, units)
            seen[answer.proof, bool(answer.unplaced), bool(answer.moves)] += 1
    assert min(seen["free", False, False], seen["exact", False, True], seen["bound", True, False]) > 40
    assert seen["exact", True, False] + seen["exact", True, True] > 0


def test_without_the_largest_set_the_decision_is_the_same_and_existing_assignments_stay():
    refused = 0
    for requests, units in cases(SEEDS + 5):
        full, decided = assign(requests, units), assign(requests, units, effort=Effort(largest=False))
        assert_nothing_twice(decided, requests, units)
        assert bool(decided.unplaced) == bool(full.unplaced)
        assert decided.proof == full.proof
        if decided.unplaced:
            refused += 1
            assert (decided.moves, decided.largest) == (0, False)
        else:
            assert decided == full
    assert refused > 10


def test_without_solver_what_the_search_leaves_open_is_undecided_and_never_wrong():
    undecided = 0
    for requests, units in cases(SEEDS + 6):
        quick = assign(requests, units, effort=Effort(largest=False, looks=0, solver=0))
        assert_nothing_twice(quick, requests, units)
        undecided += quick.proof == "undecided"
        if quick.proof != "undecided":
            assert bool(quick.unplaced) == bool(assign(requests, units).unplaced)
    assert undecided
