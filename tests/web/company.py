"""Invented gear for pages, made through the services: a stage case with a panel, switches, supplies, and devices."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.rig.kit import Port, PortPoe, PortPower
from inventory.base.changes import change
from inventory.services.kits import create_kit
from inventory.services.links import EndDraft, LinkDraft
from inventory.services.positions import PositionDraft
from inventory.services.specs import SpecFields, create_spec
from inventory.services.units import create_units


@dataclass(slots=True)
class Gear:
    """Ids by what they are called here."""

    specs: dict[str, int]
    units: dict[str, int]
    kit: int


def ethernet(name: str, *, poe: str | None = None, outside: bool = False, through: str | None = None) -> Port:
    return Port(
        name=name,
        connector="8p8c-rugged" if outside else "8p8c",
        side="socket",
        carries="ethernet",
        face="outside" if outside else "inside",
        through=through,
        speed_mbps=1000,
        group=None if outside or through or poe == "load" else "fabric",
        poe=PortPoe(role=poe, poe_class=4) if poe else None,
    )


def case_ports() -> tuple[Port, ...]:
    """Eight network holes, two for lighting, one for mains that must not be parted under load."""
    ports = []
    for number in range(1, 9):
        ports.append(ethernet(f"LAN {number}", outside=True, through=f"LAN {number} rear"))
        ports.append(ethernet(f"LAN {number} rear", through=f"LAN {number}"))
    for number in (1, 2):
        ports.append(
            Port(
                name=f"DMX {number}",
                connector="xlr-5",
                side="socket",
                carries="dmx",
                face="outside",
                through=f"DMX {number} rear",
            )
        )
        ports.append(Port(name=f"DMX {number} rear", connector="xlr-5", side="socket", carries="dmx"))
    ports.append(
        Port(
            name="mains in",
            connector="mains-lock-20a-in",
            side="socket",
            carries="mains",
            face="outside",
            through="mains rear",
        )
    )
    ports.append(Port(name="mains rear", connector="c13", side="plug", carries="mains"))
    return tuple(ports)


def switch_ports() -> tuple[Port, ...]:
    powered = tuple(ethernet(str(number), poe="source") for number in range(1, 5))
    plain = tuple(ethernet(str(number)) for number in range(5, 9))
    dc = Port(
        name="dc",
        connector="dc-5.5x2.1",
        side="socket",
        carries="dc",
        power=PortPower(role="load", volts_min=48, volts_max=57, watts=78),
    )
    return (*powered, *plain, dc)


def supply_ports() -> tuple[Port, ...]:
    return (
        Port(
            name="in",
            connector="c14",
            side="socket",
            carries="mains",
            power=PortPower(role="load", volts_min=100, volts_max=240, watts=100),
        ),
        Port(
            name="out",
            connector="dc-5.5x2.1",
            side="plug",
            carries="dc",
            power=PortPower(role="source", volts_min=54, volts_max=54, watts=90),
        ),
    )


SPECS: dict[str, SpecFields] = {
    "case": {"name": "Rack case, six units", "kind": "case", "weight_kg": 11.0, "ports": case_ports()},
    "switch": {
        "name": "Compact switch, four of eight ports powered",
        "kind": "switch",
        "weight_kg": 0.6,
        "poe": {"budget_w": 65.0, "allotment": "class"},
        "ports": switch_ports(),
    },
    "supply": {"name": "Supply, 54 V, 90 W", "kind": "supply", "weight_kg": 0.7, "ports": supply_ports()},
    "camera": {"name": "Camera, class 4", "kind": "camera", "weight_kg": 1.1, "ports": (ethernet("lan", poe="load"),)},
    "desk": {"name": "Sound desk, stage end", "kind": "console", "weight_kg": 4.0, "ports": (ethernet("net"),)},
    "tool": {"name": "Lamp for the case", "kind": "tool", "weight_kg": 0.1},
}


def write(actor_id: int | None, service, request_id: str = "told"):
    with change(actor_id=actor_id, request_id=request_id) as c:
        return service(c)


def make_specs(actor_id: int | None = None) -> dict[str, int]:
    return {
        name: write(actor_id, lambda c, fields=fields: create_spec(c, fields=fields)) for name, fields in SPECS.items()
    }


def make_unit(spec: int, actor_id: int | None = None) -> int:
    return write(actor_id, lambda c: create_units(c, fields={"spec": spec}))[0]


def link(a: tuple[str, str], b: tuple[str, str], label: str = "", colour: str = "") -> LinkDraft:
    return LinkDraft(
        a=EndDraft(position=a[0], port=a[1]), b=EndDraft(position=b[0], port=b[1]), label=label, colour=colour
    )


CONTENTS = (
    ("case", "case", "case"),
    ("switch A", "switch", "required"),
    ("switch B", "switch", "required"),
    ("supply A", "supply", "required"),
    ("supply B", "supply", "required"),
    ("camera 1", "camera", "required"),
    ("camera 2", "camera", "required"),
    ("camera 3", "camera", "required"),
    ("sound desk", "desk", "required"),
    ("lamp", "tool", "spare"),
)
LINKS = (
    *(link(("case", f"LAN {n} rear"), ("switch A", str(n)), f"W-1{n}") for n in range(1, 5)),
    *(link(("case", f"LAN {n} rear"), ("switch B", str(n - 4)), f"W-2{n - 4}") for n in range(5, 9)),
    link(("switch A", "8"), ("switch B", "8"), "trunk"),
    link(("supply A", "out"), ("switch A", "dc")),
    link(("supply B", "out"), ("switch B", "dc")),
    link(("camera 1", "lan"), ("case", "LAN 1"), "cam 1", "blue"),
    link(("camera 2", "lan"), ("case", "LAN 2"), "cam 2", "blue"),
    link(("camera 3", "lan"), ("case", "LAN 3"), "cam 3", "blue"),
    link(("sound desk", "net"), ("case", "LAN 4"), "desk", "YE"),
    link(("case", "mains rear"), ("supply A", "in"), "P-1", "black"),
)


BRIEF: dict[str, object] = {
    "outside": [{"carries": "ethernet", "quantity": 8, "connector": "8p8c-rugged"}, {"carries": "dmx", "quantity": 2}],
    "segments": [
        {
            "name": "lighting", "vlan": 10, "block": "10.0.10.0/24", "addresses_from": "none",
            "ports": [{"position": "case", "port": f"LAN {n}"} for n in range(1, 5)],
        },
        {
            "name": "sound", "vlan": 20, "block": "10.0.20.0/24",
            "ports": [{"position": "case", "port": "LAN 5"}, {"position": "switch B", "port": "8"}],
        },
    ],
    "venue_blocks": ["192.168.0.0/24"],
    "universes": [{"number": n} for n in (1, 2, 3, 7)],
    "streams": [
        {
            "name": "pictures", "mbps": 12.5,
            "source": {"position": "camera 1", "port": "lan"}, "sink": {"position": "sound desk", "port": "net"},
        },
        {"name": "the show", "mbps": 6, "source": {"position": "camera 2", "port": "lan"}},
    ],
    "radio": {"clients": 40, "client_mbps": 2},
    "lifts": [{"name": "the van", "people": 2, "horizontal_cm": 40, "origin_cm": 30, "travel_cm": 60}],
    "transport": "road",
    "configuration": {"mark": "stage, spring", "saved_at": "2027-04-30T06:00:00+00:00"},
    "controllers": [{"name": "switch software", "positions": ["switch A", "switch B"], "computers": []}],
    "firmware": [{"position": "switch A", "version": "4.2"}],
}  # fmt: skip
"""Something of everything that a kit can be asked."""


def stage_case(
    actor_id: int | None = None,
    *,
    name: str = "Stage case 2",
    without: Sequence[str] = (),
    specs: dict[str, int] | None = None,
) -> Gear:
    """A kit that does not work as planned: three cameras on a source that carries two. ``without`` stay empty."""
    specs = specs or make_specs(actor_id)
    units = {label: make_unit(specs[spec], actor_id) for label, spec, _ in CONTENTS if label not in without}
    positions = [
        PositionDraft(label=label, role=role, spec=specs[spec], unit=units.get(label)) for label, spec, role in CONTENTS
    ]
    kit = write(
        actor_id,
        lambda c: create_kit(c, fields={"name": name, "purpose": "stage left"}, positions=positions, links=LINKS),
    )
    return Gear(specs=specs, units=units, kit=kit)
