"""Ports written as one line: ``1-4 8p8c 1G class4 out; 5-8 8p8c 1G; dc 48-57V 78W``.

Entries stand between semicolons. An entry is names, a connector code, then items in any order, with blanks between.
Codes and words may be written in capitals; units keep theirs. Whatever is not read is refused, with its column.

Names
    ``1``, ``dc``, ``LAN 1 rear``: everything before the connector code. ``1-4`` and ``LAN 1-4 rear`` are a range of
    whole numbers, lowest first (``01-12`` keeps its noughts). Commas part names that share the rest of the entry, and
    each stands by itself: ``1-4, 7`` and ``LAN 1-4, LAN 7``.
Connector
    A code of the register. ``dc`` where no code stands is the usual barrel, ``dc-5.5x2.1``, and names the port too if
    nothing else does. Barrels of another size must be written out. The everyday words of ``calc.connector_words`` are
    read as the code that they mean: ``RJ45``, ``LC``, ``schuko``, ``BNC``, ``jack``, ``SFP+``.
Items
    ============================  =====================================================================================
    ``100M`` ``1G`` ``2.5G``      speed
    ``class4 in``                 Power over Ethernet: the port asks for a class (``in``) or grants it (``out``)
    ``PoE in`` ``PoE+ out``       the same by the word: ``PoE`` is class 3, ``PoE+`` class 4
    ``48-57V`` ``12V`` ``78W``    mains or direct current; on an Ethernet connector, fixed volts that nobody negotiates
    ``2A`` ``500VA``              instead of watts, with volts: amperes are drawn at the lowest of them. Either is taken
                                  as the most watts that there can be, at a power factor of 1
    ``in`` ``out``                a port with volts or watts takes power, unless it says ``out`` or is made as an outlet
    ``breaker16`` ``breakerC16``  what protects a port that gives power, with its curve
    ``rcd30``                     the residual current of its protection, in mA; ``rcd0``: it has none
    ``L1`` ``L1-L2`` ``legA``     the leg that an outlet hangs on, or the two; of split phase ``legA`` is ``L1``
    ``plug`` ``socket``           side; left out, it is ``socket``, but ``plug`` where power enters by a connector whose
                                  plug has the pins (the inlets of IEC 60309, NEMA, XLR-4)
    ``outside`` ``inside``        face; left out, it is ``inside``
    ``dmx`` ``serial`` ...        what it carries; left out, it is what the connector usually carries
    ``through 8p8c``              a second port behind each, joined to it: after its connector its side and face, before
                                  it its names; left out, they are the name in front with ``rear`` after it
    ============================  =====================================================================================

``LAN 1-8 8p8c-rugged outside through 8p8c`` is a panel: the holes ``LAN 1`` and so on, joined to ``LAN 1 rear`` and so
on; ``line lc-duplex through host sfp plug`` a module for a cage.

Sockets of Ethernet or fibre that have a speed are switched together (group ``fabric``) if the text has more than one of
them and ``kind`` is not one of ``NOT_SWITCHING``: a speed says that something handles frames there, and what handles
frames at several sockets is nearly always a switch or a bridge. Panels and cords are written without speeds.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from calc.connectors import Connector
from calc.errors import require_one_of
from calc.ports_text.entries import Entry, read_entry
from calc.ports_text.words import LONGEST_NAME, LONGEST_TEXT, UnreadText, Word, checked, entries, names_in
from calc.rig.kit import Port, PortPoe, PortPower
from calc.vocabulary import SPEC_KINDS

__all__ = ["FABRIC", "LONGEST_NAME", "LONGEST_TEXT", "MOST_PORTS", "NOT_SWITCHING", "UnreadText", "parse"]

MOST_PORTS = 200
NOT_SWITCHING = (
    "case", "injector", "splitter", "supply", "distro", "computer", "adapter", "cable", "drum", "fan", "battery",
    "vehicle", "tool",
)  # fmt: skip
FABRIC = "fabric"
REAR = " rear"
"""What is added to a name for the port behind it."""
_FRAME_CARRIERS = ("ethernet", "fibre")


def parse(text: str, kind: str | None = None) -> tuple[Port, ...]:
    """Return the ports that a line describes, in its order; none for an empty line.

    Args:
        text: One line in the words above. [-]
        kind: Kind of the spec, if it is known: one of ``NOT_SWITCHING`` never switches its ports together. [-]

    Raises:
        UnreadText: a piece means nothing, contradicts another one, makes a name twice, or makes more than 200 ports.
        BadInput: the text is no text, or there is no such kind.

    Source: the grammar is this house's own; classes and speeds are those of IEEE 802.3.
    """
    if kind is not None:
        require_one_of("kind", kind, SPEC_KINDS)
    ports: dict[str, Port] = {}
    for words in entries(checked(text)):
        for port, word in _ports(read_entry(text, words)):
            if port.name in ports:
                raise word.unread(f"there is a port {port.name} already")
            if len(ports) == MOST_PORTS:
                raise word.unread(f"a spec has at most {MOST_PORTS} ports")
            ports[port.name] = port
    return _switched_together(tuple(ports.values()), kind)


def _ports(entry: Entry) -> Iterator[tuple[Port, Word]]:
    """Yield the ports of an entry, each before the one behind it, with the piece of the text that names them."""
    port, names = _port(entry), list(names_in(entry.names)) if entry.names is not None else []
    if entry.behind is None:
        yield from ((replace(port, name=name), word) for name, word in names)
        return
    rear = replace(_port(entry.behind), carries=port.carries)
    for (name, word), (rear_name, rear_word) in zip(names, _names_behind(entry.behind, names), strict=True):
        yield replace(port, name=name, through=rear_name), word
        yield replace(rear, name=rear_name, through=name), rear_word


def _names_behind(behind: Entry, names: list[tuple[str, Word]]) -> list[tuple[str, Word]]:
    """Return what the ports behind others are called: as it says, else as those with ``rear`` after it."""
    if behind.names is not None:
        named = list(names_in(behind.names))
        if len(named) != len(names):
            raise behind.names.stripped.unread(f"name as many ports behind as in front: {len(names)}")
        return named
    for name, word in names:
        if len(name) + len(REAR) > LONGEST_NAME:
            raise word.unread(f"with “{REAR.strip()}” after it a name has at most {LONGEST_NAME} characters")
    return [(f"{name}{REAR}", word) for name, word in names]


def _port(entry: Entry) -> Port:
    """Return the port that the entry describes, without a name."""
    said, connector = entry.said, entry.connector
    role = entry.role
    return Port(
        name="",
        connector=connector.code,
        side=said.get("side") or _usual_side(connector, role if entry.has_power else None),
        carries=entry.carries,
        face=said.get("face", "inside"),
        speed_mbps=said.get("speed"),
        poe=PortPoe(role=role, poe_class=said["class"]) if "class" in said else None,
        power=_power(said, role) if entry.has_power else None,
    )


def _usual_side(connector: Connector, power_role: str | None) -> str:
    if len(connector.sides) == 1:
        return connector.sides[0]
    return "plug" if power_role == "load" and connector.pins == {"plug"} else "socket"


def _power(said: Mapping[str, Any], role: str) -> PortPower:
    low, high = said.get("volts", (None, None))
    breaker_a, curve = said.get("breaker", (None, None))
    return PortPower(
        role=role,
        volts_min=low,
        volts_max=high,
        watts=_most_watts(said),
        breaker_a=breaker_a,
        curve=curve,
        rcd_ma=said.get("rcd"),
        leg=said.get("leg"),
    )


def _most_watts(said: Mapping[str, Any]) -> float | None:
    """Return the most watts that an entry says: as such, as volt-amperes, or as amperes at the lowest volts. [W]"""
    if "amperes" in said:
        return round(float(said["amperes"] * said["volts"][0]), 3)
    watts: float | None = said.get("watts", said.get("volt-amperes"))
    return watts


def _switched_together(ports: tuple[Port, ...], kind: str | None) -> tuple[Port, ...]:
    if kind in NOT_SWITCHING or sum(map(_handles_frames, ports)) < 2:
        return ports
    return tuple(replace(port, group=FABRIC) if _handles_frames(port) else port for port in ports)


def _handles_frames(port: Port) -> bool:
    """Tell whether something works at a port with frames; one that is joined to another only hands them on."""
    stated = port.speed_mbps is not None and port.through is None
    return stated and port.carries in _FRAME_CARRIERS and port.side == "socket"
