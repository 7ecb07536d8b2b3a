"""A compact way to write down kits for tests: positions by label, links as ``"switch A:1 - camera 1:net"``."""

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from calc.checks import Finding, Result, run
from calc.rig.ends import End as LinkEnd
from calc.rig.kit import Kit, Link, PoeSheet, Port, PortPoe, PortPower, Position, PowerSheet, Spec, Unit

NOW = datetime(2027, 5, 1, 6, 0, tzinfo=UTC)
_spec_ids = itertools.count(1)
_position_ids = itertools.count(1)


@dataclass(frozen=True)
class At:
    """What is planned in a position, and what is packed there (by default a sound unit of what is planned)."""

    spec: Spec
    role: str = "required"
    unit: Unit | None = None
    empty: bool = False
    accepts: frozenset[int] = frozenset()
    nested: Kit | None = None


def kit(contents: Mapping[str, Spec | At], links: Iterable[str | tuple[str, Spec | str]] = (), **fields: Any) -> Kit:
    """Return a kit; a link is ``"a:port - b:port"``, or that with a cable: a spec, or the label of a position."""
    positions = tuple(_position(label, item) for label, item in contents.items())
    ids = {position.label: position.id for position in positions}
    made = tuple(_link(number, text, ids) for number, text in enumerate(links, start=1))
    return Kit(id=1, name="kit", positions=positions, links=made, **fields)


def _position(label: str, item: Spec | At) -> Position:
    at = item if isinstance(item, At) else At(item)
    role = "case" if label == "case" else at.role
    position_id = next(_position_ids)
    unit = None if at.empty else at.unit or unit_of(at.spec, id=position_id)
    return Position(
        id=position_id, label=label, role=role, spec=at.spec, accepts=at.accepts, unit=unit, nested=at.nested
    )


def _link(number: int, written: str | tuple[str, Spec | str], ids: Mapping[str, int]) -> Link:
    text, cable = written if isinstance(written, tuple) else (written, None)
    a, b = (end.rsplit(":", 1) for end in text.split(" - "))
    return Link(
        id=number,
        a=LinkEnd(position=ids[a[0]], port=a[1]),
        b=LinkEnd(position=ids[b[0]], port=b[1]),
        cable=ids[cable] if isinstance(cable, str) else None,
        cable_spec=cable if isinstance(cable, Spec) else None,
    )


def unit_of(spec: Spec, **fields: Any) -> Unit:
    return Unit(**{"id": 1, "tag": "U-1", "spec": spec} | fields)


def spec(name: str, kind: str = "other", ports: Iterable[Port] = (), **fields: Any) -> Spec:
    return Spec(id=next(_spec_ids), name=name, kind=kind, ports=tuple(ports), **fields)


def ethernet(name: str, *, poe: PortPoe | None = None, **fields: Any) -> Port:
    return Port(
        **{"name": name, "connector": "8p8c", "side": "socket", "carries": "ethernet", "speed_mbps": 1000} | fields,
        poe=poe,
    )


def panel(count: int, prefix: str = "LAN ", connector: str = "8p8c-rugged") -> list[Port]:
    """Return feed-through sockets: ``LAN 1`` outside, ``LAN 1 rear`` inside."""
    ports = []
    for number in range(1, count + 1):
        front, rear = f"{prefix}{number}", f"{prefix}{number} rear"
        ports.append(ethernet(front, connector=connector, face="outside", through=rear, speed_mbps=None))
        ports.append(ethernet(rear, through=front, speed_mbps=None))
    return ports


def switch(
    budget_w: float | None = 65,
    powered: int = 4,
    plain: int = 4,
    poe_class: int | None = 4,
    allotment: str | None = "class",
    **fields: Any,
) -> Spec:
    """Return a switch with powered ports 1… and plain ones after them."""
    ports = [ethernet(f"{n}", poe=PortPoe(role="source", poe_class=poe_class), group="fabric") for n in span(powered)]
    ports += [ethernet(f"{n + powered}", group="fabric") for n in span(plain)]
    return spec("switch", "switch", ports, poe=PoeSheet(budget_w=budget_w, allotment=allotment), **fields)


def camera(poe_class: int | None = 4, reduced_class_ok: int | None = None, **fields: Any) -> Spec:
    poe = PortPoe(role="load", poe_class=poe_class, reduced_class_ok=reduced_class_ok)
    return spec("camera", "camera", [ethernet("net", poe=poe)], **fields)


def span(count: int) -> range:
    return range(1, count + 1)


def findings(kit_or_result: Kit | Result, code: str) -> list[Finding]:
    result = kit_or_result if isinstance(kit_or_result, Result) else run(kit_or_result, NOW)
    return [finding for finding in result.findings if finding.code == code]


def only(kit_or_result: Kit | Result, code: str) -> Finding:
    """Return the one finding of that code."""
    (finding,) = findings(kit_or_result, code)
    return finding


def labels(found: Iterable[Finding]) -> list[str]:
    return [finding.subject.label for finding in found]


def missing(kit_or_result: Kit | Result) -> list[str | None]:
    """Return what the data-missing findings ask for."""
    return [finding.unlocks for finding in findings(kit_or_result, "data-missing")]


def plugs(connector: str = "8p8c", carries: str = "ethernet") -> list[Port]:
    """Return the two ends of a lead."""
    return [Port(name=name, connector=connector, side="plug", carries=carries) for name in ("one end", "other end")]


POWER_FIELDS = ("volts_min", "volts_max", "watts", "breaker_a", "curve", "rcd_ma")


def mains(name: str, connector: str, role: str | None, side: str = "socket", **fields: Any) -> Port:
    """Return a mains port: an inlet (``role="load"``), an outlet (``"source"``) or a plain feed-through."""
    power = {key: fields.pop(key) for key in POWER_FIELDS if key in fields}
    sheet = None if role is None else PortPower(role=role, **power)
    return Port(**{"name": name, "connector": connector, "side": side, "carries": "mains"} | fields, power=sheet)


def supply(va: float | None = 160.0, **sheet: Any) -> Spec:
    """Return a supply with a C14 inlet, labelled "100-240 V" and so many volt-amperes."""
    label = {} if va is None else {"rated_a": va / 100, "at_volts": 100}
    return spec("supply", "supply", [mains("in", "c14", "load")], power=PowerSheet(**label | sheet))


def distro(outlets: int = 10, connector: str = "c13", inlet: str = "c20", **fields: Any) -> Spec:
    """Return a distribution unit with outlets 1, 2, ... of one kind; fields are those of the outlets."""
    ports = [mains("in", inlet, "load"), *(mains(str(n), connector, "source", **fields) for n in span(outlets))]
    return spec("distro", "distro", ports)


def distributed(source: Spec, loads: Iterable[Spec], cable: Spec | None = None, **fields: Any) -> Kit:
    """Return a kit with a distribution unit and one load on each of its outlets."""
    things = {f"load {n}": load for n, load in enumerate(loads, start=1)}
    links = [f"distro:{n} - load {n}:in" for n in span(len(things))]
    return kit({"distro": source, **things}, [(link, cable) if cable else link for link in links], **fields)
