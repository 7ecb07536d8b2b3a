"""Rigs made up by chance: any sheet that the forms accept, any port, links that fit and links that do not."""

from random import Random
from typing import Any

from calc.connectors import Connector, all_connectors
from calc.rig.brief import ADDRESS_SERVERS, STANDS, TRANSPORTS
from calc.rig.field_table import FIELDS_OF, SIZE
from calc.rig.fields import Field, Takes
from calc.vocabulary import (
    BREAKER_CURVES,
    CASE_BUILDS,
    FACES,
    OUTLET_LEGS,
    PORT_DAMAGE,
    POSITION_ROLES,
    RETENTIONS,
    RULE_SETS,
    SPEC_KINDS,
)
from tests.rigs.declare import Body, Part, Rig

CONNECTORS = all_connectors()
USED_OFTEN = (
    "8p8c", "8p8c-rugged", "lc-duplex", "sfp", "coax-75", "xlr-3", "xlr-5", "speaker-4", "c13", "c14", "cee7-3",
    "cee7-7", "dc-5.5x2.1", "iec60309-32-3pne-400", "usb-a", "hdmi-a",
)  # fmt: skip
SPEEDS_MBPS = (None, 10, 100, 1000, 2500, 10_000, 25_000, 40_000, 100_000)
VOLTS = (5, 12, 24, 48, 54, 120, 230, 400, 690)
LENGTHS_M = (0, 0.3, 1, 5, 20, 55, 90, 100, 150, 400, 12_000)
CATEGORIES = ("3", "5e", "6", "6a", "8", "OM1", "OM3", "OM5", "OS2")


def made_up(seed: int) -> Rig:
    """Return the rig of that number; one number always makes the same rig."""
    chance = Random(seed)
    labels = [f"thing {number}" for number in range(1, chance.randint(1, 9) + 1)]
    parts = {label: _part(chance) for label in labels}
    if chance.random() < 0.6:
        parts = {"case": _case(chance), **parts}
    return Rig(
        name=f"made up, {seed}",
        parts=parts,
        links=tuple(_links(chance, parts)),
        kit=_kit(chance),
        brief=_brief(chance, parts) if chance.random() < 0.4 else None,
        rules=chance.choice(RULE_SETS),
        why="It has to get an answer.",
        source="none",
    )


def _kit(chance: Random) -> Body:
    return {
        "build": chance.choice([None, *CASE_BUILDS]),
        "ambient_celsius": chance.choice([None, -20, 0, 25, 35, 60]),
        "exposed_retention": chance.choice([None, *RETENTIONS]),
    }


def _case(chance: Random) -> Part:
    size = {name: chance.choice([None, 120, 450, 1300]) for name in ("width_mm", "depth_mm", "height_mm")}
    holes = chance.choice(["", "LAN 1-4 8p8c-rugged outside through 8p8c; Mains cee7-7 outside through c13"])
    return Part(spec={"name": "case", "kind": "case", "ports_text": holes, **size})


def _part(chance: Random) -> Part:
    kind = chance.choice(SPEC_KINDS)
    body: dict[str, Any] = {"name": f"some {kind}", "kind": kind, "ports": _ports(chance)}
    for sheet, fields in FIELDS_OF.items():
        if chance.random() < 0.4:
            written = {field.name: value for field in fields if (value := _value(chance, field)) is not None}
            body |= written if sheet == SIZE else {sheet: written}
    damage = {port["name"]: chance.choice(PORT_DAMAGE) for port in body["ports"] if chance.random() < 0.05}
    role = chance.choice(["required", *POSITION_ROLES[1:]])
    return Part(spec=body, role=role, damage=damage, empty=chance.random() < 0.05)


def _value(chance: Random, field: Field) -> object:
    """Return something that a form takes in that field, at its bounds and between them; or nothing."""
    if chance.random() < 0.4:
        return None
    if field.choices:
        return chance.choice(field.choices)
    if field.takes is Takes.YES_OR_NO:
        return chance.random() < 0.5
    if field.takes is Takes.TEXT:
        return chance.choice(CATEGORIES)
    if field.takes is Takes.WHOLE:
        return chance.choice([int(field.least), int(field.most), chance.randint(int(field.least), int(field.most))])
    least = field.least if field.may_be_zero or field.least > 0 else 0.001
    middle = min(field.most, max(least, 10 ** chance.uniform(-1, 3)))
    return chance.choice([least, middle, middle, middle, middle, field.most])


def _ports(chance: Random) -> list[Body]:
    ports = [_port(chance, number) for number in range(1, chance.randint(0, 5) + 1)]
    if len(ports) > 1 and chance.random() < 0.3:
        ports[0]["through"], ports[1]["through"] = ports[1]["name"], ports[0]["name"]
    return list(ports)


def _port(chance: Random, number: int) -> dict[str, Any]:
    connector = _connector(chance)
    port: dict[str, Any] = {
        "name": str(number),
        "connector": connector.code,
        "side": chance.choice(connector.sides),
        "carries": connector.carries,
        "face": chance.choice(FACES),
        "speed_mbps": chance.choice(SPEEDS_MBPS),
        "pairs": chance.choice([None, None, 2, 4]),
        "group": chance.choice([None, "fabric"]),
    }
    if connector.carries == "ethernet" and chance.random() < 0.5:
        role = chance.choice(["source", "load"])
        port["poe"] = {"role": role, "class": chance.choice([None, *range(9)])}
    elif connector.carries in ("mains", "dc") and chance.random() < 0.8:
        port["power"] = _power(chance)
    return port


def _connector(chance: Random) -> Connector:
    if chance.random() < 0.7:
        code = chance.choice(USED_OFTEN)
        return next(one for one in CONNECTORS if one.code == code)
    return chance.choice(CONNECTORS)


def _power(chance: Random) -> Body:
    low = chance.choice([None, *VOLTS])
    return {
        "role": chance.choice(["source", "load"]),
        "volts_min": low,
        "volts_max": None if low is None else low * chance.choice([1, 1, 2]),
        "watts": chance.choice([None, 0, 3, 60, 2000, 100_000]),
        "breaker_a": chance.choice([None, 10, 16, 32, 125]),
        "curve": chance.choice([None, *BREAKER_CURVES]),
        "rcd_ma": chance.choice([None, 0, 30, 300]),
        "leg": chance.choice([None, None, *OUTLET_LEGS]),
    }


def _links(chance: Random, parts: dict[str, Part]) -> list[str | tuple[str, Body]]:
    """Return links between free ports: mostly of one family, with a lead that fits, some between any two."""
    free = [(label, port) for label, part in parts.items() for port in part.spec.get("ports", ())]
    chance.shuffle(free)
    made: list[str | tuple[str, Body]] = []
    while len(free) > 1 and len(made) < 12:
        label, port = free.pop()
        alike = [other for other in free if other[1]["carries"] == port["carries"] and other[0] != label]
        other = chance.choice(alike if alike and chance.random() < 0.85 else free)
        free.remove(other)
        text = f"{label}:{port['name']} - {other[0]}:{other[1]['name']}"
        made.append(text if chance.random() < 0.3 else (text, _lead(chance, port, other[1])))
    return made


def _lead(chance: Random, one: Body, other: Body) -> Body:
    ends = [
        {"name": name, "connector": port["connector"], "side": _entering(port), "carries": port["carries"]}
        for name, port in (("a", one), ("b", other))
    ]
    cable = {
        "length_m": chance.choice([None, *LENGTHS_M]),
        "awg": chance.choice([None, 18, 23, 24, 26, 28]),
        "area_mm2": chance.choice([None, 0.5, 1.0, 1.5, 2.5, 16]),
        "stranded": chance.choice([None, True, False]),
        "category": chance.choice([None, *CATEGORIES]),
        "pairs": chance.choice([None, 2, 4]),
    }
    return {"name": "lead", "kind": chance.choice(["cable", "drum"]), "ports": ends, "cable": cable}


def _entering(port: Body) -> str:
    """Return the side of what goes into a port, where its connector has it."""
    sides = next(one for one in CONNECTORS if one.code == port["connector"]).sides
    wanted = "plug" if port["side"] == "socket" else "socket"
    return wanted if wanted in sides else sides[0]


def _brief(chance: Random, parts: dict[str, Part]) -> Body:
    ends = [
        {"position": label, "port": port["name"]}
        for label, part in parts.items()
        for port in part.spec.get("ports", ())
    ]
    some = chance.sample(ends, k=min(len(ends), 4))
    return {
        "outside": [{"carries": "ethernet", "quantity": chance.randint(1, 8)}],
        "segments": [_segment(chance, number, some) for number in range(1, chance.randint(1, 3) + 1)],
        "venue_blocks": chance.choice([[], ["10.0.0.0/8"]]),
        "universes": [
            {"number": n, "slots": 600 if chance.random() < 0.02 else 512}
            for n in range(1, chance.choice([0, 1, 4, 41]) + 1)
        ],
        "streams": [
            {
                "name": f"stream {n}",
                "mbps": chance.choice([0.1, 8, 900]),
                "from": end,
                "to": chance.choice([None, *some]),
            }
            for n, end in enumerate(some, start=1)
        ],
        "internet_up_mbps": chance.choice([None, 2, 100]),
        "radio": chance.choice([None, {"clients": 200, "client_mbps": 1.0, "rate_mbps": chance.choice([None, 86.7])}]),
        "lifts": chance.choice(
            [
                [],
                [
                    {
                        "name": "step",
                        "horizontal_cm": 30,
                        "origin_cm": 70,
                        "travel_cm": 30,
                        "people": chance.randint(1, 3),
                    }
                ],
            ]
        ),
        "transport": chance.choice([None, *TRANSPORTS]),
        "stands": chance.choice([None, *STANDS]),
    }


def _segment(chance: Random, number: int, ends: list[Body]) -> Body:
    return {
        "name": f"segment {number}",
        "vlan": chance.choice([None, 10 * number]),
        "block": chance.choice([None, "10.0.10.0/24", f"10.0.{number}.0/24"]),
        "addresses_from": chance.choice([None, *ADDRESS_SERVERS]),
        "ports": chance.sample(ends, k=chance.randint(0, len(ends))),
    }
