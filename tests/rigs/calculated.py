"""Runs a rig through the calculation alone, without a database."""

import itertools
from collections.abc import Iterator, Mapping
from typing import Any

from calc.checks import Result, run
from calc.ports_text import parse
from calc.rig import kit as calc_kit
from inventory.brief_document import brief_from
from tests.rigs.declare import JUDGED_AT, Body, Part, Rig, ends

SHEETS = {
    "power": calc_kit.PowerSheet,
    "poe": calc_kit.PoeSheet,
    "cable": calc_kit.CableSheet,
    "network": calc_kit.NetworkSheet,
    "cooling": calc_kit.CoolingSheet,
    "battery": calc_kit.BatterySheet,
    "optics": calc_kit.OpticsSheet,
    "sound": calc_kit.SoundSheet,
}


def judge(rig: Rig) -> Result:
    """Return what all checks find in the rig."""
    return run(kit_of(rig), JUDGED_AT)


def kit_of(rig: Rig) -> calc_kit.Kit:
    """Return the rig as calculation sees it; parts with one and the same body share one spec."""
    numbers = itertools.count(1)
    specs: dict[int, calc_kit.Spec] = {}
    ids = {label: number for number, label in enumerate(rig.parts, start=1)}
    positions = tuple(_position(ids[label], label, what, specs, numbers) for label, what in rig.parts.items())
    links = tuple(_links(rig, ids, specs, numbers))
    fields = dict(rig.kit)
    brief = None if rig.brief is None else brief_from(_document(rig.brief, ids))
    return calc_kit.Kit(id=1, name=rig.name, positions=positions, links=links, rules=rig.rules, brief=brief, **fields)


def _document(brief: Body, ids: Mapping[str, int]) -> Any:
    """Return a brief as it is kept: with ids of positions, and the ends of streams by the names of calculation."""
    streams = [
        {{"from": "source", "to": "sink"}.get(name, name): value for name, value in stream.items()}
        for stream in brief.get("streams", ())
    ]
    return _with_ids({**brief, "streams": streams}, ids)


def _with_ids(value: Any, ids: Mapping[str, int]) -> Any:
    """Return the document with ids in place of the labels of positions."""
    if isinstance(value, Mapping):
        return {name: ids[item] if name == "position" else _with_ids(item, ids) for name, item in value.items()}
    if isinstance(value, list | tuple):
        return [_with_ids(item, ids) for item in value]
    return value


def _position(
    position_id: int, label: str, what: Part, specs: dict[int, calc_kit.Spec], numbers: Iterator[int]
) -> calc_kit.Position:
    planned = _spec(what.spec, specs, numbers)
    unit = calc_kit.Unit(
        id=position_id,
        tag=f"R-{position_id:03}",
        spec=planned,
        damage={port: frozenset({kind}) for port, kind in what.damage.items()},
    )
    return calc_kit.Position(
        id=position_id,
        label=label,
        role="case" if label == "case" else what.role,
        spec=planned,
        unit=None if what.empty else unit,
    )


def _links(
    rig: Rig, ids: Mapping[str, int], specs: dict[int, calc_kit.Spec], numbers: Iterator[int]
) -> Iterator[calc_kit.Link]:
    for number, link in enumerate(rig.links, start=1):
        (first, first_port), (second, second_port), cable = ends(link)
        yield calc_kit.Link(
            id=number,
            a=calc_kit.End(position=ids[first], port=first_port),
            b=calc_kit.End(position=ids[second], port=second_port),
            cable_spec=None if cable is None else _spec(cable, specs, numbers),
        )


def _spec(body: Body, specs: dict[int, calc_kit.Spec], numbers: Iterator[int]) -> calc_kit.Spec:
    if id(body) not in specs:
        specs[id(body)] = _read_spec(dict(body), next(numbers))
    return specs[id(body)]


def _read_spec(body: dict[str, Any], spec_id: int) -> calc_kit.Spec:
    ports = (*parse(body.pop("ports_text", ""), body["kind"]), *map(_read_port, body.pop("ports", ())))
    sheets = {name: sheet(**body.pop(name)) for name, sheet in SHEETS.items() if name in body}
    return calc_kit.Spec(id=spec_id, ports=ports, **sheets, **body)


def _read_port(body: Body) -> calc_kit.Port:
    given = dict(body)
    if "poe" in given:
        poe = dict(given["poe"])
        given["poe"] = calc_kit.PortPoe(poe_class=poe.pop("class", None), **poe)
    if "power" in given:
        given["power"] = calc_kit.PortPower(**given["power"])
    return calc_kit.Port(**given)
