"""The connectors of the trade: which halves enter which, how firmly they hold, and what they carry.

A half is a code and a side. ``plug`` is the half that enters, ``socket`` the half that is entered. In most families
each side has one set of contacts, so XLR, IEC 60309 and NEMA say by the side which half carries the pins: a male XLR in
a panel, and an IEC 60309 inlet, are ``plug``. IEC 60320 is the exception, since its codes already name the contacts: an
odd code (``c13``) has holes and an even one (``c14``) has pins, whichever side it is, and the side says where it sits:
``plug`` on a cord, ``socket`` in a device or panel. So a supply's inlet is ``("c14", "socket")``, a distribution
unit's outlet ``("c13", "socket")``, and the usual lead between them has the ends ``("c13", "plug")`` and
``("c14", "plug")``. What a side is in one family stands in ``Connector.side_names``.

The facts are in ``registers/connectors/``; ``Connector.known`` tells how each came to be known: ``read`` in a
published source, from ``memory``, or ``common practice`` of the trade without a source.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from heapq import heappop, heappush
from types import MappingProxyType
from typing import Any

from calc.errors import BadInput, require_items, require_one_of
from calc.registers import load
from calc.vocabulary import RULE_SETS, SIDES

_NOTHING: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Rating:
    """What a rule set lets a connector carry."""

    a: float | None
    """Current in each pole; None where the maker states it. [A]"""
    v: float
    """Highest voltage, between phases where there are three. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mate:
    """One half that enters, or is entered by, one side of a connector."""

    own_side: str
    connector: str
    side: str
    retention: str
    """friction (contact pressure only), latch (a part that a pull can break) or lock (let go on purpose only)."""
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Connector:
    """One entry of the register."""

    code: str
    name: str
    family: str
    standard: str
    side_names: Mapping[str, str]
    """The sides that exist, each with what it is in this family."""
    pins: frozenset[str]
    """The sides whose contacts can be touched or shorted when they are open."""
    rating: Mapping[str, Rating]
    """Rule set → rating; a rule set that is not there does not know the connector."""
    poles: int | None
    """Contacts without the earth contact."""
    phases: int | None
    neutral: bool | None
    earth: bool | None
    """Whether it has a protective conductor; None where the question does not arise."""
    breaking_capacity: bool | None
    """Whether it may be parted under load; None: not known, or no power connector."""
    locking: str
    carries: str
    """What it carries unless a port says otherwise."""
    role: str | None
    """source or load, where its shape admits only one of them for a device."""
    feed_through: bool
    """Whether its chassis sockets are joints rated as one component, with a bare socket behind."""
    takes: tuple[str, ...]
    """Of a cage: the connectors of the modules that go into it."""
    colour: str | None
    systems: Mapping[str, tuple[str, ...]]
    """Rule set → the supply systems (``calc.voltages``) that its shape or keying is made for; a rule set that is not
    there leaves the voltage open, as IEC 60320 does."""
    caution: str
    known: Mapping[str, str]
    """Fact → how it is known."""
    mates: tuple[Mate, ...]

    @property
    def sides(self) -> tuple[str, ...]:
        """The sides that exist, plug first."""
        return tuple(side for side in SIDES if side in self.side_names)

    @property
    def lines(self) -> int:
        """Line conductors of a mains connector: 3 of three phases, 2 of split phase with its neutral, else 1."""
        if self.phases == 3:
            return 3
        return 2 if self.phases == 1 and self.neutral and self.poles == 3 else 1

    @property
    def pole(self) -> str | None:
        """Of a single-pole connector the conductor that it is made for: L1, L2, L3, N or E; None of any other."""
        return self.code.rpartition("-")[2].upper() if self.poles in (0, 1) and self.carries == "mains" else None


@cache
def _register() -> Mapping[str, Connector]:
    register = load("connectors")
    mates: dict[str, list[Mate]] = {entry["code"]: [] for entry in register["connectors"]}
    for (code, side), others in _matings().items():
        mates[code] += [
            Mate(own_side=side, connector=c, side=s, retention=r, known=k) for (c, s), (r, k) in others.items()
        ]
    return MappingProxyType(
        {entry["code"]: _read(entry, tuple(mates[entry["code"]])) for entry in register["connectors"]}
    )


@cache
def _matings() -> Mapping[tuple[str, str], dict[tuple[str, str], tuple[str, str]]]:
    """Return half → the halves that it meets → (retention, how it is known); each line of the file counts both ways."""
    meets: dict[tuple[str, str], dict[tuple[str, str], tuple[str, str]]] = {}
    for a, side_a, b, side_b, retention, known in load("connectors")["mates"]:
        meets.setdefault((a, side_a), {})[b, side_b] = (retention, known)
        meets.setdefault((b, side_b), {})[a, side_a] = (retention, known)
    return MappingProxyType(meets)


def _read(entry: Mapping[str, Any], mates: tuple[Mate, ...]) -> Connector:
    return Connector(
        code=entry["code"],
        name=entry["name"],
        family=entry["family"],
        standard=entry["standard"],
        side_names=entry["sides"],
        pins=frozenset(entry.get("pins", ())),
        rating=MappingProxyType({rules: Rating(**rating) for rules, rating in entry.get("rating", _NOTHING).items()}),
        poles=entry.get("poles"),
        phases=entry.get("phases"),
        neutral=entry.get("neutral"),
        earth=entry.get("earth"),
        breaking_capacity=entry.get("breaking_capacity"),
        locking=entry["locking"],
        carries=entry["carries"],
        role=entry.get("role"),
        feed_through=entry.get("feed_through", False),
        takes=tuple(entry.get("takes", ())),
        colour=entry.get("colour"),
        systems=entry.get("systems", _NOTHING),
        caution=entry.get("caution", ""),
        known=MappingProxyType({fact: known for known, facts in entry["known"].items() for fact in facts}),
        mates=mates,
    )


def all_connectors() -> tuple[Connector, ...]:
    """Return the whole register, in its own order.

    Source: the standard of each entry (``Connector.standard``).
    """
    return tuple(_register().values())


def connector(code: str) -> Connector:
    """Return the entry of that code.

    Args:
        code: Code of a connector, such as ``"8p8c"``. [-]

    Raises:
        BadInput: the register has no such code.

    Source: the standard of the entry (``Connector.standard``).
    """
    return _known("code", code)


def family(code: str) -> str:
    """Return the name of the family: two ends of one family that cannot meet are joined by a fitting lead.

    Ends of two families can still meet (a NEMA 5-15 plug enters a 5-20 socket), so ask ``mates`` first.

    Args:
        code: Code of a connector. [-]

    Raises:
        BadInput: the register has no such code.

    Source: the standard of the entry (``connector(code).standard``).
    """
    return _known("code", code).family


def rating_a(code: str, rules: str) -> float | None:
    """Return the current that the rule set lets each pole carry, in A, or None if it states none.

    Args:
        code: Code of a connector. [-]
        rules: Name of the rule set. [-]

    Raises:
        BadInput: an unknown code or rule set.

    Source: IEC 60320-1, IEC 60309-1, NEMA WD 6 and others, per entry (``connector(code).known``).
    """
    require_one_of("rules", rules, RULE_SETS)
    rating = _known("code", code).rating.get(rules)
    return rating.a if rating is not None else None


def mates(a: str, side_a: str, b: str, side_b: str) -> str | None:
    """Return how firmly one half holds the other: "lock", "latch" or "friction"; None if they cannot meet.

    The order of the halves makes no difference.

    Args:
        a: Code of one connector. [-]
        side_a: Its side, ``"plug"`` or ``"socket"``. [-]
        b: Code of the other connector. [-]
        side_b: Its side. [-]

    Raises:
        BadInput: an unknown code, or a side that this connector does not have.

    Source: IEC 60603-7, IEC 61076-2-103, IEC 60320-1, IEC 60320-3, IEC 60309-1, NEMA WD 6 and others, and common
    practice, per pair (``connector(a).mates``).
    """
    _require_half("a", a, "side_a", side_a)
    _require_half("b", b, "side_b", side_b)
    met = _matings().get((a, side_a), {}).get((b, side_b))
    return met[0] if met is not None else None


def apart_because(a: str, side_a: str, b: str, side_b: str) -> str | None:
    """Return why two halves cannot meet, as the part of a sentence after "because"; None if they can.

    Args:
        a: Code of one connector. [-]
        side_a: Its side, ``"plug"`` or ``"socket"``. [-]
        b: Code of the other connector. [-]
        side_b: Its side. [-]

    Raises:
        BadInput: an unknown code, or a side that this connector does not have.

    Source: the register's own list of halves that are mistaken for each other, as ``mates``.
    """
    if mates(a, side_a, b, side_b) is not None:
        return None
    ends = {(a, side_a), (b, side_b)}
    for entering, entered, reason, _ in load("connectors")["apart"]:
        if {a, b} == {entering, entered} and (_never_meet(a, b) or ends == {(entering, "plug"), (entered, "socket")}):
            return str(reason)
    if family(a) == family(b) and side_a == side_b:
        return f"both are {side_a}s"
    return "they are connectors of different families"


def _known(argument: str, code: str) -> Connector:
    found = _register().get(code) if isinstance(code, str) else None
    if found is None:
        raise BadInput(argument, code, "the code of a connector in the register, such as '8p8c' or 'c14'")
    return found


def _never_meet(a: str, b: str) -> bool:
    return all(mate.connector != b for mate in connector(a).mates)


def _require_half(argument: str, code: str, side_argument: str, side: str) -> None:
    require_one_of(side_argument, side, _known(argument, code).sides)


Half = tuple[str, str]
"""(connector, side)"""


@dataclass(frozen=True, slots=True, order=True)
class Adapter:
    """One thing with two ends that are joined through: an adapter, a coupler, a short adapting cord."""

    name: str
    a: str
    side_a: str
    b: str
    side_b: str


def adapter_path(from_: Half, to: Half, adapters: Iterable[Adapter]) -> tuple[Adapter, ...] | None:
    """Return the shortest chain of adapters that joins two halves, each given as (connector, side).

    Every item of ``adapters`` is one thing and is used once; two alike are two items. Among chains of the same length
    the one whose names come first wins. An empty chain means that the two halves meet as they are; None, that no chain
    of these adapters joins them.

    Args:
        from_: Half to start from: code and side. [-]
        to: Half to reach: code and side. [-]
        adapters: The adapters at hand. [-]

    Raises:
        BadInput: an unknown code or side, in a half or in an adapter.

    Source: which halves meet, as ``mates``; the shortest path is A*, a graph search.
    """
    from_, to = _half("from_", from_), _half("to", to)
    stock = _stock(require_items("adapters", adapters, Adapter))
    steps_left = _steps_left(from_, to, stock)
    waiting: list[tuple[int, tuple[str, ...], tuple[Adapter, ...], tuple[Half, ...]]] = []
    if from_ in steps_left:
        waiting.append((steps_left[from_], (), (), (from_,)))
    seen = set()
    while waiting:
        # Never an overestimate, and a chain sorts before its own continuations: the first to arrive is the answer.
        least, names, chain, opened = heappop(waiting)
        if least == len(chain):
            return chain
        if (state := _state(chain, opened, stock)) in seen:
            continue
        seen.add(state)
        for adapter, leaving in _next_steps(chain, opened, stock):
            if leaving in steps_left:
                least = len(chain) + 1 + steps_left[leaving]
                heappush(waiting, (least, (*names, adapter.name), (*chain, adapter), (*opened, leaving)))
    return None


def _half(argument: str, half: Half) -> Half:
    if not isinstance(half, (tuple, list)) or len(half) != 2:
        raise BadInput(argument, half, "a connector and its side, such as ('xlr-5', 'plug')")
    code, side = half
    _require_half(argument, code, argument, side)
    return code, side


def _ends(adapter: Adapter) -> tuple[Half, Half]:
    one, other = sorted([(adapter.a, adapter.side_a), (adapter.b, adapter.side_b)])
    return one, other


def _stock(adapters: Iterable[Adapter]) -> dict[tuple[Half, Half], list[Adapter]]:
    """Return the adapters by their ends, each kind sorted by name."""
    stock: dict[tuple[Half, Half], list[Adapter]] = {}
    for adapter in sorted(adapters):
        _require_half("adapters", adapter.a, "adapters", adapter.side_a)
        _require_half("adapters", adapter.b, "adapters", adapter.side_b)
        stock.setdefault(_ends(adapter), []).append(adapter)
    return stock


def _steps_left(from_: Half, to: Half, stock: dict[tuple[Half, Half], list[Adapter]]) -> dict[Half, int]:
    """Return half → adapters still needed to reach ``to``, as if of every kind there were enough."""
    undecided: set[Half] = {from_}.union(*stock)
    level = {half for half in undecided if mates(*half, *to)}
    steps_left: dict[Half, int] = {}
    while level:
        steps_left |= dict.fromkeys(level, max(steps_left.values(), default=-1) + 1)
        undecided -= level
        level = {half for half in undecided if any(leaving in level for _, leaving in _passages(half, stock))}
    return steps_left


def _passages(half: Half, stock: Iterable[tuple[Half, Half]]) -> Iterator[tuple[tuple[Half, Half], Half]]:
    """Yield the kinds of adapter that ``half`` meets, each with the end that is then open."""
    for one, other in stock:
        if mates(*half, *one):
            yield (one, other), other
        if one != other and mates(*half, *other):
            yield (one, other), one


def _next_steps(
    chain: tuple[Adapter, ...], opened: tuple[Half, ...], stock: dict[tuple[Half, Half], list[Adapter]]
) -> Iterator[tuple[Adapter, Half]]:
    for ends, leaving in _passages(opened[-1], stock):
        used = sum(_ends(adapter) == ends for adapter in chain)
        # A chain that opens the same half twice could leave out what lies between.
        if used < len(stock[ends]) and leaving not in opened:
            yield stock[ends][used], leaving


def _state(
    chain: tuple[Adapter, ...], opened: tuple[Half, ...], stock: dict[tuple[Half, Half], list[Adapter]]
) -> tuple[Half, frozenset[tuple[Half, Half]]]:
    """Return what decides how a chain can go on: the open half, and the kinds that are used up.

    A kind of which there are two or more never runs out, because no half is opened twice.
    """
    return opened[-1], frozenset(ends for ends in map(_ends, chain) if len(stock[ends]) == 1)
