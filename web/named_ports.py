"""Ports and positions of a kit as people name them: ``case LAN 1-4, LAN 7, switch A 8``.

The position comes first, and holds for the ports after it until another is named. Upper and lower case are one.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from calc.rig.kit import Kit

MOST_IN_A_RUN = 200
RUN = re.compile(r"(.*?)(\d{1,4})\s*[-\N{EN DASH}]\s*(\d{1,4})(\D*)")
"""``LAN 1-4 rear``: what stands before the numbers, both numbers, what stands after."""
NUMBERED = re.compile(r"(.*?)(?<!\d)(0|[1-9]\d{0,3})(\D*)")
LEAST_IN_A_RUN = 3

Named = tuple[int, str]
"""A position by its id, and a port of it by its name."""


class UnknownNamesError(ValueError):
    """Some of what was typed names nothing in the kit; ``sentences`` says of each what to do."""

    def __init__(self, sentences: Sequence[str]) -> None:
        super().__init__(" ".join(sentences))
        self.sentences = list(sentences)


@dataclass(frozen=True, slots=True)
class NamedPorts:
    """The positions of a kit by their labels, each with the ports of what is planned, or packed, there."""

    labels: Mapping[int, str]
    ports: Mapping[int, tuple[str, ...]]
    _positions: dict[str, int] = field(init=False, default_factory=dict)
    _whole: dict[str, Named] = field(init=False, default_factory=dict)
    """What a port is called with its position before it."""
    _short: dict[tuple[int, str], Named] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        for alike in (_tidy, _plain):  # a name as it is written goes before one that differs by its case
            for position, label in self.labels.items():
                self._positions.setdefault(alike(label), position)
                for port in self.ports[position]:
                    self._whole.setdefault(alike(f"{label} {port}"), (position, port))
                    self._short.setdefault((position, alike(port)), (position, port))

    @classmethod
    def of(cls, kit: Kit) -> "NamedPorts":
        ports = {
            position.id: tuple(
                dict.fromkeys(
                    port.name
                    for spec in (position.spec, position.unit.spec if position.unit else position.spec)
                    for port in spec.ports
                )
            )
            for position in kit.positions
        }
        return cls({position.id: position.label for position in kit.positions}, ports)

    def every(self) -> Iterator[str]:
        """Yield what each port is called, for a list to choose from."""
        for position, label in self.labels.items():
            for port in self.ports[position]:
                yield f"{label} {port}"

    def read(self, text: str) -> list[Named]:
        """Return the ports that a text names, each once.

        Raises:
            UnknownNamesError: the kit has no such position or port.
        """
        found: list[Named] = []
        unknown: list[str] = []
        here: int | None = None
        for piece in _pieces(text, self._whole):
            named = self._named(piece, here)
            if named:
                here = named[-1][0]
                found += named
            else:
                unknown.append(self._refusal(piece, here))
                here = self._begun(piece) or here
        if unknown:
            raise UnknownNamesError(unknown)
        return list(dict.fromkeys(found))

    def read_positions(self, text: str) -> list[int]:
        """Return the positions that a text names, each once.

        Raises:
            UnknownNamesError: the kit has no such position.
        """
        pieces = _pieces(text, self._positions)
        found = [self._positions.get(piece, self._positions.get(_plain(piece))) for piece in pieces]
        if None in found:
            unknown = [piece for piece, position in zip(pieces, found, strict=True) if position is None]
            raise UnknownNamesError([f"The kit has no place {piece}." for piece in unknown])
        return list(dict.fromkeys(position for position in found if position is not None))

    def written(self, ends: Iterable[Named]) -> str:
        """Return ports as ``read`` takes them."""
        of_position: dict[int, list[str]] = {}
        for position, port in ends:
            of_position.setdefault(position, []).append(port)
        return ", ".join(
            f"{self.labels[position]} {', '.join(self._told(position, ports))}"
            for position, ports in of_position.items()
        )

    def _told(self, position: int, ports: Sequence[str]) -> list[str]:
        """Return names after that of their position; one that reads as another whole name says its position again."""
        if any(_plain(port) in self._whole for port in ports):
            label = self.labels[position]
            return [port if not place else f"{label} {port}" for place, port in enumerate(ports)]
        return in_runs(ports)

    def _named(self, piece: str, here: int | None) -> list[Named]:
        if (one := self._one(piece, here)) is not None:
            return [one]
        run = RUN.fullmatch(piece)
        if run is None or not 0 <= int(run[3]) - int(run[2]) < MOST_IN_A_RUN:
            return []
        names = [f"{run[1]}{number}{run[4]}" for number in range(int(run[2]), int(run[3]) + 1)]
        named = [self._one(name, here) for name in names]
        return [one for one in named if one is not None] if None not in named else []

    def _one(self, name: str, here: int | None) -> Named | None:
        for alike in (name, _plain(name)):
            if alike in self._whole:
                return self._whole[alike]
            if here is not None and (here, alike) in self._short:
                return self._short[here, alike]
        return None

    def _begun(self, piece: str) -> int | None:
        """Return the position whose label a piece begins with."""
        begun = [position for position, label in self.labels.items() if _plain(piece).startswith(f"{_plain(label)} ")]
        return max(begun, key=lambda position: len(self.labels[position]), default=None)

    def _refusal(self, piece: str, here: int | None) -> str:
        begun = self._begun(piece)
        position = begun or here
        if position is None:
            return f"No place of the kit begins “{piece}”. Write the place, then the port."
        label = self.labels[position]
        has = f"{label} has {', '.join(in_runs(self.ports[position])) or 'none'}."
        if begun is None:
            return f"Neither {label} nor another place has a port “{piece}”. {has}"
        return f"{label} has no port {piece[len(label) :].strip()}. {has}"


def in_runs(names: Iterable[str]) -> list[str]:
    """Return names with those put into one that only count up: ``LAN 1-4, LAN 1-4 rear``."""
    alike: dict[tuple[str, ...], list[int]] = {}
    for name in names:
        match = NUMBERED.fullmatch(name)
        alike.setdefault((match[1], match[3]) if match else (name,), []).extend([int(match[2])] if match else [])
    return [
        told
        for (before, *after), numbers in alike.items()
        for told in ([f"{before}{run}{after[0]}" for run in _runs(sorted(numbers))] if numbers else [before])
    ]


def _runs(numbers: Sequence[int]) -> Iterator[str]:
    begin = 0
    for place, number in enumerate(numbers):
        if place + 1 < len(numbers) and numbers[place + 1] == number + 1:
            continue
        run = numbers[begin : place + 1]
        begin = place + 1
        yield from [f"{run[0]}-{run[-1]}"] if len(run) >= LEAST_IN_A_RUN else map(str, run)


def _tidy(name: str) -> str:
    return " ".join(name.split())


def _plain(name: str) -> str:
    return _tidy(name).casefold()


def _pieces(text: str, known: Iterable[str]) -> list[str]:
    """Return what stands between commas and line ends; a known name may have commas of its own."""
    names = frozenset(known)
    most = 1 + max((name.count(",") for name in names), default=0)
    raw = re.split(r"[,\n]", text)
    pieces = []
    while raw:
        taken = next((n for n in range(min(most, len(raw)), 1, -1) if _plain(",".join(raw[:n])) in names), 1)
        piece = _tidy(",".join(raw[:taken]))
        raw = raw[taken:]
        if piece:
            pieces.append(piece)
    return pieces
