"""Every placement and every plugging of ten thousand small random cases, enumerated here and compared.

The enumeration shares nothing with the code under test: its own class table, its own physics, its own search.
"""

from itertools import combinations, permutations
from math import ceil, sqrt
from random import Random

import pytest

from calc.poe import PoeDevice, PoePort, PoeSource, allocate

# IEEE 802.3-2022 clauses 33 and 145, class tables: watts at source and device, least volts, loop ohms of all pairs.
SOURCE_MW = [15_400, 4_000, 7_000, 15_400, 30_000, 45_000, 60_000, 75_000, 90_000]
DEVICE_W = [12.95, 3.84, 6.49, 12.95, 25.5, 40.0, 51.0, 62.0, 71.3]
SOURCE_V = [44, 44, 44, 44, 50, 50, 50, 52, 52]
LOOP_OHM = [20, 20, 20, 20, 12.5, 6.25, 6.25, 6.25, 6.25]

# What a port of class 0..8 (columns) grants to a device of class 0..8 (rows): power demotion leads to 3, 4 or 6 only.
GRANTED = [
    [0, None, None, 0, 0, 0, 0, 0, 0],
    [1, 1, 1, 1, 1, 1, 1, 1, 1],
    [2, None, 2, 2, 2, 2, 2, 2, 2],
    [3, None, None, 3, 3, 3, 3, 3, 3],
    [3, None, None, 3, 4, 4, 4, 4, 4],
    [3, None, None, 3, 4, 5, 5, 5, 5],
    [3, None, None, 3, 4, 4, 6, 6, 6],
    [3, None, None, 3, 4, 4, 6, 7, 7],
    [3, None, None, 3, 4, 4, 6, 6, 8],
]

CASES, SEEDS = 10_000, 20


def microwatts(device, port, allotment):
    granted = GRANTED[device.poe_class][port.max_class]
    if granted is None:
        return 0
    by_class = SOURCE_MW[granted] * 1000
    if allotment == "class" or device.draw_w is None:
        return by_class
    draw_w = device.draw_w
    if allotment == "negotiated":
        draw_w = ceil(round(draw_w * 1000) / 100) / 10
    draw_w = min(draw_w, DEVICE_W[granted])
    volts, ohm = SOURCE_V[granted], LOOP_OHM[granted]
    amps = (volts - sqrt(volts**2 - 4 * ohm * draw_w)) / (2 * ohm)
    return min(round(volts * amps * 1_000_000), by_class)


def works(device, port):
    """True, False, or None where nobody has said."""
    granted = GRANTED[device.poe_class][port.max_class]
    if granted is None:
        return False
    if DEVICE_W[granted] == DEVICE_W[device.poe_class]:
        return True
    return None if device.reduced_class_ok is None else DEVICE_W[granted] >= DEVICE_W[device.reduced_class_ok]


def least_by_set(source, devices):
    """Return for every set of devices that fits one source the least that it takes: port by port, every choice."""
    least = {0: 0}
    for port in source.ports:
        more = dict(least)
        for number, device in enumerate(devices):
            if works(device, port):
                takes = microwatts(device, port, source.allotment)
                for members, taken in least.items():
                    if not members >> number & 1:
                        both = members | 1 << number
                        more[both] = min(more.get(both, taken + takes), taken + takes)
        least = more
    return {members: taken for members, taken in least.items() if taken <= round(source.budget_w * 1_000_000)}


def best_sets(sources, devices):
    """Return by set of placed devices the least that all sources together set aside."""
    total = {0: 0}
    for source in sources:
        more = {}
        for here, here_taken in least_by_set(source, devices).items():
            for members, taken in total.items():
                if not members & here:
                    both = members | here
                    more[both] = min(more.get(both, taken + here_taken), taken + here_taken)
        total = more
    return total


def preference(members, taken, devices):
    placed = [device for number, device in enumerate(devices) if members >> number & 1]
    priorities = sorted({device.priority for device in devices}, reverse=True)
    by_priority = [-sum(device.priority == priority for device in placed) for priority in priorities]
    return by_priority, taken, sorted(device.name for device in placed)


def worst_margin(sources, devices):
    """Each source against every set of devices that it may be handed while the others take the rest."""
    ports = sum(len(source.ports) for source in sources)
    if not sources or len(devices) > ports:
        return None
    margins = []
    for source in sources:
        elsewhere = ports - len(source.ports)
        for size in range(max(0, len(devices) - elsewhere), min(len(devices), len(source.ports)) + 1):
            for some in combinations(devices, size):
                heaviest = most_taken(source, some)
                margins.append(source.budget_w - heaviest / 1_000_000)
    return min(margins)


def most_taken(source, devices):
    """Device by device, every port that is still free."""
    most = {0: 0}
    for device in devices:
        more = {}
        for used, taken in most.items():
            for place, port in enumerate(source.ports):
                if not used >> place & 1:
                    both = used | 1 << place
                    more[both] = max(more.get(both, 0), taken + microwatts(device, port, source.allotment))
        most = more
    return max(most.values())


def random_case(random):
    classes = random.choice([[3, 4], [2, 3, 4], [4, 5, 6], list(range(9)), [4]])
    port_classes = random.choice([[4], [8], [3, 4], [4, 6, 8], list(range(9))])
    budgets = random.choice([[55], [65, 120], [30, 46.2, 60, 90], [15.4, 45.4, 100, 37.5]])
    allotments = random.choice([["class"], ["measured"], ["class", "negotiated", "measured"]])
    draws = random.choice([[None], [16], [None, 3, 12.34, 20]])
    sources = [
        PoeSource(
            f"s{number}",
            random.choice(budgets),
            [PoePort(f"p{port}", random.choice(port_classes)) for port in range(random.randint(0, 4))],
            random.choice(allotments),
        )
        for number in range(random.randint(1, 4))
    ]
    return sources, [random_device(random, number, classes, draws) for number in range(random.randint(0, 7))]


def random_device(random, number, classes, draws):
    poe_class = random.choice(classes)
    draw_w = random.choice(draws)
    lower = [one for one in range(9) if DEVICE_W[one] <= DEVICE_W[poe_class]]
    return PoeDevice(
        f"d{number}",
        poe_class,
        draw_w=None if draw_w is None else min(draw_w, DEVICE_W[poe_class]),
        reduced_class_ok=random.choice([None, None, random.choice(lower)]),
        priority=random.choice([0, 0, 1, 2]),
    )


def assert_stands(answer, sources, devices):
    """Each hole is used once, each device runs where it is, no budget is exceeded, and the watts left are right."""
    by_name = {device.name: device for device in devices}
    assert sorted([*answer.placed, *answer.unplaced]) == sorted(by_name)
    assert len(set(answer.placed.values())) == len(answer.placed)
    for source in sources:
        ports = {port.name: port for port in source.ports}
        here = [(by_name[name], ports[hole]) for name, (where, hole) in answer.placed.items() if where == source.name]
        assert all(works(device, port) for device, port in here)
        taken = sum(microwatts(device, port, source.allotment) for device, port in here)
        assert answer.watts_left[source.name] == pytest.approx(source.budget_w - taken / 1_000_000, abs=1e-6)
        assert taken <= round(source.budget_w * 1_000_000)


@pytest.mark.parametrize("seed", range(SEEDS))
def test_the_best_placement_and_the_worst_plugging_are_those_of_the_enumeration(seed):
    random = Random(seed)
    for _ in range(CASES // SEEDS):
        sources, devices = random_case(random)
        answer = allocate(sources, devices)
        assert answer.proven
        assert_stands(answer, sources, devices)
        best = min(preference(members, taken, devices) for members, taken in best_sets(sources, devices).items())
        members = sum(1 << number for number, device in enumerate(devices) if device.name in answer.placed)
        left = sum(answer.watts_left.values())
        taken = sum(source.budget_w for source in sources) - left
        by_priority, _, names = preference(members, 0, devices)
        assert (by_priority, names) == (best[0], best[2])
        assert taken == pytest.approx(best[1] / 1_000_000, abs=1e-5)
        worst = worst_margin(sources, devices)
        assert answer.worst_plugging == (None if worst is None else pytest.approx(worst, abs=2e-6))
        every_port = [port for source in sources for port in source.ports]
        refused = any(works(device, port) is False for device in devices for port in every_port)
        fits = len(devices) <= len(every_port) and (worst is None or worst > -1e-6)
        assert answer.any_order_ok == (fits and not refused)
        unsaid = [device.name for device in devices if any(works(device, port) is None for port in every_port)]
        assert answer.reduced_unknown == unsaid


@pytest.mark.parametrize("seed", range(60))
def test_the_worst_plugging_is_that_of_every_plugging_one_by_one(seed):
    random = Random(seed)
    sources, devices = random_case(random)
    sources = [PoeSource(each.name, each.budget_w, each.ports[:2], each.allotment) for each in sources[:3]]
    devices = devices[:5]
    holes = [(source, port) for source in sources for port in source.ports]
    margins = []
    for plugging in permutations(holes, len(devices)):
        for source in sources:
            taken = sum(
                microwatts(device, port, source.allotment)
                for device, (where, port) in zip(devices, plugging, strict=True)
                if where is source
            )
            margins.append(source.budget_w - taken / 1_000_000)
    expected = min(margins) if margins else None
    answer = allocate(sources, devices)
    assert answer.worst_plugging == (None if expected is None else pytest.approx(expected, abs=2e-6))
