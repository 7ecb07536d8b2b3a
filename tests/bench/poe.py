"""Plug maps of twelve sources with eight ports each and sixty devices."""

from collections.abc import Iterator
from random import Random
from time import perf_counter

from calc.poe import PoeDevice, PoePort, PoeSource, allocate

SEEDS = range(10)


def measure() -> list[tuple[str, float, str]]:
    """Return the median and the worst time by kind of case, and how many of the cases are proven."""
    allocate(*next(_cases("any class, three priorities")))
    return [row for kind in KINDS for row in _rows(kind)]


def _rows(kind: str) -> Iterator[tuple[str, float, str]]:
    times, proven = [], 0
    for sources, devices in _cases(kind):
        start = perf_counter()
        answer = allocate(sources, devices)
        times.append((perf_counter() - start) * 1000)
        proven += answer.proven
    yield f"allocate, {kind}: median", sorted(times)[len(times) // 2], "ms"
    yield f"allocate, {kind}: worst", max(times), "ms"
    yield f"allocate, {kind}: proven of {len(times)}", proven, ""


# budgets, classes of ports, allotment rules, classes of devices, draws, lowest classes, priorities
KINDS = {
    "room for all": ([250], [8], ["class"], [2, 3, 4], [None], [None], [0]),
    "full, by class": ([55, 65, 90], [8], ["class"], [1, 2, 3, 4], [None], [None], [0]),
    "any class, three priorities": ([100, 190, 240], [8], ["class"], list(range(1, 9)), [None], [None], [0, 1, 2]),
    "full, by measured draw": ([60], [8], ["measured"], [4], "any", [None], [0]),
    "ports of three classes": ([65, 120], [3, 4, 6], ["class"], [2, 3, 4, 6], [None], [None], [0, 1]),
    "some run reduced": ([65, 120], [3, 4, 6], ["class"], [3, 4, 6], [None], [None, 3], [0]),
    "three allotment rules": ([65, 120], [4], ["class", "negotiated", "measured"], [3, 4], "any", [None], [0]),
}


def _cases(kind: str) -> Iterator[tuple[list[PoeSource], list[PoeDevice]]]:
    budgets, port_classes, allotments, classes, draws, lowest, priorities = KINDS[kind]
    for seed in SEEDS:
        random = Random(seed)
        sources = [
            PoeSource(
                f"source {place}",
                random.choice(budgets),
                [PoePort(f"{port}", random.choice(port_classes)) for port in range(1, 9)],
                random.choice(allotments),
            )
            for place in range(12)
        ]
        devices = [
            PoeDevice(
                f"device {place}",
                random.choice(classes),
                draw_w=random.randint(50, 129 if 3 in classes else 250) / 10 if draws == "any" else None,
                reduced_class_ok=random.choice(lowest),
                priority=random.choice(priorities),
            )
            for place in range(60)
        ]
        yield sources, devices
