"""Sources and devices side by side: what each device takes in each kind of port, in whole microwatts."""

from collections import defaultdict
from collections.abc import Iterable

from calc.poe.allotment import allotted_w
from calc.poe.classes import granted_class, runs_on
from calc.poe.naming import by_name
from calc.poe.parts import PoeDevice, PoeSource
from calc.poe.plugging import heaviest
from calc.solve.packing import Bin, Group, Loading, Problem

_MICROWATTS = 1_000_000  # sums of whole numbers are exact: three devices of 15.4 W fill 46.2 W to the brim
_DIGITS = 6

_Kind = tuple[str, int]
"""How a source counts, and the highest class of a port of it."""


class Setup:
    """Sources, their ports and devices in the order of their names."""

    def __init__(self, sources: Iterable[PoeSource], devices: Iterable[PoeDevice]) -> None:
        self.sources = sorted(sources, key=lambda source: by_name(source.name))
        self.devices = sorted(devices, key=lambda device: by_name(device.name))
        self._ports = [_ports_by_kind(source) for source in self.sources]
        self._kinds = sorted({kind for ports in self._ports for kind in ports})
        self._takes = [tuple(_taken(device, kind) for kind in self._kinds) for device in self.devices]
        self._runs = [tuple(_runs(device, kind) for kind in self._kinds) for device in self.devices]
        groups = self._groups()
        self.members = list(groups.values())
        self.problem = Problem(
            bins=tuple(self._bins()),
            groups=tuple(Group(priority, takes, len(members)) for (priority, takes), members in groups.items()),
        )

    @property
    def room_for_all(self) -> bool:
        """Whether there is a port for each device."""
        return len(self.devices) <= sum(len(source.ports) for source in self.sources)

    @property
    def some_port_fails_some(self) -> bool:
        """Whether some device is known not to run on what some port grants it."""
        return any(False in runs for runs in self._runs)

    def reduced_unknown(self) -> list[str]:
        """Return the devices of which nobody has said whether they run on what some port grants them."""
        return [device.name for device, runs in zip(self.devices, self._runs, strict=True) if None in runs]

    def worst_plugging_w(self) -> float | None:
        """Return the least margin of any source over all ways to plug all devices in, None if there is none. [W]

        Whatever is plugged into one source, the rest finds room on the others; so each source meets its own worst.
        """
        if not self.sources or not self.room_for_all:
            return None
        return min(
            _left_w(source, heaviest(self._takes, each.places))
            for source, each in zip(self.sources, self.problem.bins, strict=True)
        )

    def in_order(self, loading: Loading) -> Loading:
        """Return the same loading with sources that are alike changed about: the earliest holds the earliest groups."""
        contents: list[list[tuple[int, int, int]]] = [[] for _ in self.sources]
        for (group, place, kind), count in sorted(loading.items()):
            contents[place].append((group, kind, count))
        alike = defaultdict(list)
        for place, each in enumerate(self.problem.bins):
            alike[each].append(place)
        return {
            (group, place, kind): count
            for places in alike.values()
            for place, content in zip(
                places, sorted((contents[one] for one in places), key=_earliest_first), strict=True
            )
            for group, kind, count in content
        }

    def watts_left(self, loading: Loading) -> dict[str, float]:
        """Return by source what a loading leaves of its budget. [W]"""
        taken = [0] * len(self.sources)
        for (group, place, kind), count in loading.items():
            taken[place] += (self.problem.groups[group].takes[kind] or 0) * count
        return {source.name: _left_w(source, here) for source, here in zip(self.sources, taken, strict=True)}

    def holes(self, loading: Loading) -> dict[str, tuple[str, str]]:
        """Return source and port of each device that a loading places: earlier names in earlier holes."""
        waiting = [iter(members) for members in self.members]
        standing: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for (group, place, kind), count in sorted(loading.items(), key=lambda item: (item[0][1], item[0])):
            standing[place] += [(next(waiting[group]), kind) for _ in range(count)]
        holes: dict[int, tuple[str, str]] = {}
        for place, here in standing.items():
            ports = {kind: iter(names) for kind, names in self._ports[place].items()}
            for number, kind in sorted(here):
                holes[number] = (self.sources[place].name, next(ports[self._kinds[kind]]))
        return {self.devices[number].name: holes[number] for number in sorted(holes)}

    def _groups(self) -> dict[tuple[int, tuple[int | None, ...]], list[int]]:
        """Return the devices, by their place in the order of names, that are alike to the search."""
        groups = defaultdict(list)
        for number, device in enumerate(self.devices):
            known_to_run = (
                size if runs else None for size, runs in zip(self._takes[number], self._runs[number], strict=True)
            )
            groups[device.priority, tuple(known_to_run)].append(number)
        return groups

    def _bins(self) -> Iterable[Bin]:
        # No budget needs to be larger than all devices together, and the search counts in whole numbers.
        enough = sum(max(takes, default=0) for takes in self._takes)
        for source, ports in zip(self.sources, self._ports, strict=True):
            budget = round(min(source.budget_w, enough / _MICROWATTS) * _MICROWATTS)
            yield Bin(budget, tuple(len(ports[kind]) for kind in self._kinds))


def _earliest_first(content: list[tuple[int, int, int]]) -> tuple[bool, list[tuple[int, int, int]]]:
    return not content, [(group, kind, -count) for group, kind, count in content]


def _ports_by_kind(source: PoeSource) -> dict[_Kind, list[str]]:
    ports = defaultdict(list)
    for port in sorted(source.ports, key=lambda port: by_name(port.name)):
        ports[source.allotment, port.max_class].append(port.name)
    return ports


def _taken(device: PoeDevice, kind: _Kind) -> int:
    allotment, max_class = kind
    return round(allotted_w(device, granted_class(device.poe_class, max_class), allotment) * _MICROWATTS)


def _runs(device: PoeDevice, kind: _Kind) -> bool | None:
    return runs_on(device.poe_class, granted_class(device.poe_class, kind[1]), device.reduced_class_ok)


def _left_w(source: PoeSource, taken: int) -> float:
    return round(source.budget_w - taken / _MICROWATTS, _DIGITS)
