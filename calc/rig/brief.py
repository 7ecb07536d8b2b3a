"""What is asked of a rig: by the kit that plans it, or by the show that it goes to.

A kit says what it holds; a brief says what it is for: the ports that must be reached with the lid shut, the segments of
its network, what runs over it, how it travels and who lifts it. What a brief leaves out is not judged. Positions are
named by their id, ports by their name.
"""

from dataclasses import dataclass
from datetime import datetime

from calc.addressing import overlaps
from calc.connectors import connector
from calc.dmx import UNIVERSES_LIMIT, radio_airtime
from calc.errors import BadInput, require_number, require_one_of, require_whole
from calc.lifting import recommended_limit, team_limit_kg
from calc.rig.ends import End
from calc.vocabulary import CARRIES

VLANS = (1, 4094)
"""The least and the largest number of a VLAN. Source: IEEE 802.1Q."""
ADDRESS_SERVERS = ("here", "elsewhere", "none")
"""Who gives addresses (RFC 2131) on a segment: something in this rig, something beyond it, or nobody."""
TRANSPORTS = ("road", "air")
"""``air``: with people, as their baggage."""
STANDS = ("indoors", "shade", "sun", "outdoors")
"""Where a case stands while it works; ``outdoors``: nobody has said whether in the sun."""
USUAL_HZ = 44.0
"""How often a full universe is sent. Source: common practice; ANSI E1.11 allows no more with 512 slots."""


def _require_block(argument: str, block: str) -> None:
    try:
        overlaps(block, block)
    except BadInput as error:
        raise BadInput(argument, block, error.accepted) from error


def _require_connector(code: str) -> None:
    try:
        connector(code)
    except BadInput as error:
        raise BadInput("connector", code, error.accepted) from error


@dataclass(frozen=True, slots=True, kw_only=True)
class PortsAsked:
    """Ports that must be reached from outside: so many that carry the same, of one connector if it is named."""

    carries: str
    quantity: int
    connector: str | None = None

    def __post_init__(self) -> None:
        require_one_of("carries", self.carries, CARRIES)
        require_whole("quantity", self.quantity, least=1)
        if self.connector is not None:
            _require_connector(self.connector)


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """One network of its own: a VLAN, or gear that is wired to nothing else."""

    name: str
    vlan: int | None = None
    block: str | None = None
    """Its IPv4 addresses, ``"10.0.10.0/24"``."""
    addresses_from: str | None = None
    """One of ``ADDRESS_SERVERS``; None where nobody said."""
    ports: tuple[End, ...] = ()
    """Ports that belong to it; a port of several segments is a trunk."""

    def __post_init__(self) -> None:
        if self.vlan is not None:
            require_whole("vlan", self.vlan, least=VLANS[0], most=VLANS[1])
        if self.block is not None:
            _require_block("block", self.block)
        if self.addresses_from is not None:
            require_one_of("addresses_from", self.addresses_from, ADDRESS_SERVERS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Universe:
    """One universe of lighting control that is sent to a group of listeners."""

    number: int
    slots: int = 512
    """What the fixtures on it use together; more than 512 do not exist, and are found rather than refused."""
    hz: float = USUAL_HZ

    def __post_init__(self) -> None:
        require_whole("number", self.number, least=1, most=UNIVERSES_LIMIT)
        require_whole("slots", self.slots, least=1)
        require_number("hz", self.hz, above=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stream:
    """One steady flow, from a port to another, or out to the internet where ``sink`` is None."""

    name: str
    mbps: float
    source: End
    sink: End | None = None

    def __post_init__(self) -> None:
        require_number("mbps", self.mbps, above=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Radio:
    """What the access points serve."""

    clients: int
    client_mbps: float
    rate_mbps: float | None = None
    """Radio-layer rate of a typical client, as ``calc.radio.phy_rate_mbps`` tells. [Mb/s]"""
    basic_rate_mbps: float | None = None
    """The rate at which the access points send to groups. [Mb/s]"""

    def __post_init__(self) -> None:
        require_whole("clients", self.clients, least=1)
        require_number("client_mbps", self.client_mbps, above=0)
        if self.rate_mbps is not None:
            require_number("rate_mbps", self.rate_mbps, above=0)
        if self.basic_rate_mbps is not None:
            radio_airtime(1, USUAL_HZ, self.basic_rate_mbps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One place where the whole kit is lifted by hand; the arguments are those of ``calc.lifting``."""

    name: str
    horizontal_cm: float
    origin_cm: float
    travel_cm: float
    asymmetry_deg: float = 0.0
    lifts_per_min: float = 0.2
    duration_h: float = 1.0
    coupling: str = "good"
    people: int = 1

    def __post_init__(self) -> None:
        team_limit_kg(self.one_person_limit_kg(), self.people)

    def one_person_limit_kg(self) -> float:
        """Return what one person may lift there. [kg]

        Source: NIOSH 94-110, as ``calc.lifting.recommended_limit``.
        """
        return recommended_limit(
            self.horizontal_cm,
            self.origin_cm,
            self.travel_cm,
            self.asymmetry_deg,
            self.lifts_per_min,
            self.duration_h,
            self.coupling,
        ).limit_kg


@dataclass(frozen=True, slots=True, kw_only=True)
class Configuration:
    """The saved configuration of the network gear. A copy of it in a second kit has the same mark."""

    mark: str
    saved_at: datetime

    def __post_init__(self) -> None:
        if self.saved_at.tzinfo is None:
            raise BadInput("saved_at", self.saved_at.isoformat(), "a moment with its offset from UTC")


@dataclass(frozen=True, slots=True, kw_only=True)
class Controller:
    """Software without which nobody can change what some positions do, and the computers that have it."""

    name: str
    positions: tuple[int, ...]
    computers: tuple[int, ...]
    """Ids of units, any one of which is enough."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Firmware:
    """The version that a position's unit is meant to run."""

    position: int
    version: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """All that is asked of a rig."""

    outside: tuple[PortsAsked, ...] = ()
    segments: tuple[Segment, ...] = ()
    venue_blocks: tuple[str, ...] = ()
    """IPv4 blocks that the venue uses."""
    universes: tuple[Universe, ...] = ()
    streams: tuple[Stream, ...] = ()
    internet_up_mbps: float | None = None
    """What the venue lets out. [Mb/s]"""
    radio: Radio | None = None
    lifts: tuple[Lift, ...] = ()
    transport: str | None = None
    stands: str | None = None
    """One of ``STANDS``; None is judged as in the shade."""
    configuration: Configuration | None = None
    controllers: tuple[Controller, ...] = ()
    firmware: tuple[Firmware, ...] = ()

    def __post_init__(self) -> None:
        for block in self.venue_blocks:
            _require_block("venue_blocks", block)
        if self.internet_up_mbps is not None:
            require_number("internet_up_mbps", self.internet_up_mbps, above=0)
        if self.transport is not None:
            require_one_of("transport", self.transport, TRANSPORTS)
        if self.stands is not None:
            require_one_of("stands", self.stands, STANDS)
