"""What a kit offers outside, computed from its contents as they stand."""

from typing import TypedDict

from calc.checks import Subject
from calc.rig import capability as calc_capability
from calc.rig.kit import Kit as KitFacts
from inventory.assembly import calculating, read_kits
from inventory.models import Kit
from inventory.selectors.checks import SubjectShape


class PanelPortsShape(TypedDict):
    """Ports of one kind on the outside, and how many have nothing plugged in."""

    connector: str
    side: str
    carries: str
    powered: bool
    count: int
    free: int


class PoweredShape(TypedDict):
    source: SubjectShape
    ports: int
    budget_w: float | None
    watts_left: float | None


class PlugRowShape(TypedDict):
    """This device goes there; ``fixed`` when a drawn link says so."""

    device: SubjectShape
    source: SubjectShape
    hole: SubjectShape
    fixed: bool


class PlugMapShape(TypedDict):
    any_order_ok: bool | None
    worst_w: float | None
    rows: list[PlugRowShape]


class CapabilityShape(TypedDict):
    """What a kit offers outside. Numbers that nobody knows are null."""

    kit: int
    version: int
    ports: list[PanelPortsShape]
    powered: list[PoweredShape]
    vlans: bool
    access_points: int
    universes: int
    internet: bool
    weight_kg: float | None
    draw_va: float | None
    heat_w: float | None
    plug_map: PlugMapShape


def show_capability(kit_id: int) -> CapabilityShape | None:
    """Return what a kit offers, or None when there is no such kit; five statements at most."""
    version: int | None = Kit.objects.filter(pk=kit_id).values_list("version", flat=True).first()
    kits = read_kits([kit_id])
    if version is None or kit_id not in kits:
        return None
    return capability_of(kits[kit_id], version)


def capability_of(kit: KitFacts, version: int) -> CapabilityShape:
    """Return what an assembled kit offers; no statement.

    Raises:
        ContentsRefusedError: calculation does not take what is in it.
    """
    with calculating(kit):
        offers = calc_capability.capability(kit)
    return {
        "kit": kit.id,
        "version": version,
        "ports": [_show_ports(ports) for ports in offers.ports],
        "powered": [_show_powered(powered) for powered in offers.powered],
        "vlans": offers.vlans,
        "access_points": offers.access_points,
        "universes": offers.universes,
        "internet": offers.internet,
        "weight_kg": offers.weight_kg,
        "draw_va": offers.draw_va,
        "heat_w": offers.heat_w,
        "plug_map": _show_plug_map(offers.plug_map),
    }


def _show_ports(ports: calc_capability.PanelPorts) -> PanelPortsShape:
    return {
        "connector": ports.connector,
        "side": ports.side,
        "carries": ports.carries,
        "powered": ports.powered,
        "count": ports.count,
        "free": ports.free,
    }


def _show_powered(powered: calc_capability.PoweredPorts) -> PoweredShape:
    return {
        "source": show_subject(powered.source),
        "ports": powered.ports,
        "budget_w": powered.budget_w,
        "watts_left": powered.watts_left,
    }


def _show_plug_map(plug_map: calc_capability.PlugMap) -> PlugMapShape:
    return {
        "any_order_ok": plug_map.any_order_ok,
        "worst_w": plug_map.worst_w,
        "rows": [
            {
                "device": show_subject(row.device),
                "source": show_subject(row.source),
                "hole": show_subject(row.hole),
                "fixed": row.fixed,
            }
            for row in plug_map.rows
        ],
    }


def show_subject(subject: Subject) -> SubjectShape:
    return {"position": subject.position, "label": subject.label, "port": subject.port}
