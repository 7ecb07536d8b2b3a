"""Everyday errors with Power over Ethernet and copper runs, each planted into an otherwise sound rig."""

from tests.rigs.declare import Rig, lead, part, several
from tests.rigs.gear import (
    CAMERA,
    SWITCH_65W,
    SWITCH_120W,
)

MANAGED = part("switch", "1-8 8p8c 1G", name="managed switch",
               network={"managed": True, "vlans": True, "snooping": False})  # fmt: skip
SNOOPING = part("switch", "1-8 8p8c 1G", name="managed switch that snoops",
                network={"managed": True, "vlans": True, "snooping": True, "querier": False})  # fmt: skip
PLAIN = part("switch", "1-8 8p8c 1G", name="plain switch",
             network={"managed": False, "vlans": False, "snooping": False})  # fmt: skip
FIBRE_SWITCH = part("switch", "1-4 8p8c 1G; f lc-duplex 10G", name="switch with 10G fibre")


def copper(length_m: float, awg: int = 24, **cable: object) -> object:
    return lead("a 8p8c plug; b 8p8c plug", **({"length_m": length_m, "awg": awg, "category": "6", "pairs": 4} | cable))


def universes(count: int) -> dict[str, object]:
    return {"universes": [{"number": number} for number in range(1, count + 1)]}


RIGS = (
    Rig(
        name="three class 4 cameras on a 65 W source",
        parts={"switch A": SWITCH_65W, **several(3, "camera", CAMERA)},
        links=tuple(f"camera {n}:lan - switch A:{n}" for n in (1, 2, 3)),
        finds={"poe-budget-exceeded": "stop"},
        why="3 x 30 W is 90 of 65 W.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="65 W and 120 W pooled by mistake",
        parts={"switch A": SWITCH_65W, "switch B": SWITCH_120W, **several(6, "camera", CAMERA)},
        links=(
            *(f"camera {n}:lan - switch A:{n}" for n in (1, 2, 3)),
            *(f"camera {n}:lan - switch B:{n - 3}" for n in (4, 5, 6)),
        ),
        finds={"poe-budget-exceeded": "stop"},
        why="180 of 185 W together, but the small source gives 90 of 65 W.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="a class 4 camera at a class 3 port",
        parts={
            "switch A": part(
                "switch",
                "1-4 8p8c 1G class3 out; 5-8 8p8c 1G",
                name="class 3 switch",
                poe={"budget_w": 65, "allotment": "class"},
            ),
            "camera": CAMERA,
        },
        links=("camera:lan - switch A:1",),
        finds={"poe-reduced": "caution"},
        why="The port grants 15.4 W; the camera asks for 30 W and may run reduced.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="a camera that cannot run reduced at a class 3 port",
        parts={
            "switch A": part(
                "switch",
                "1-4 8p8c 1G class3 out; 5-8 8p8c 1G",
                name="class 3 switch",
                poe={"budget_w": 65, "allotment": "class"},
            ),
            "camera": part(
                "camera",
                name="camera, class 4 only",
                ports=[
                    {
                        "name": "lan",
                        "connector": "8p8c",
                        "side": "socket",
                        "carries": "ethernet",
                        "speed_mbps": 1000,
                        "poe": {"role": "load", "class": 4, "reduced_class_ok": 4},
                    }
                ],
            ),
        },
        links=("camera:lan - switch A:1",),
        finds={"poe-reduced": "stop"},
        why="It asks for class 4 and works on nothing less.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="a powered device on a port that gives no power",
        parts={"switch A": SWITCH_65W, "camera": CAMERA},
        links=("camera:lan - switch A:5",),
        finds={"poe-starved": "stop"},
        why="Ports 5 to 8 carry data only.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="class 4 over ninety metres of 28 AWG",
        parts={"switch A": SWITCH_65W, "camera": CAMERA},
        links=(("camera:lan - switch A:1", copper(95, 28)),),
        finds={"poe-volts-low": "stop", "run-too-long": "caution"},
        also=frozenset({"poe-starved"}),
        why="0.213 ohm/m x 95 m x 1.1 is above 20 ohm: less than 42.5 V arrive; 95 m x 1.95 is 185 of 102 m.",
        source="IEEE 802.3, clause 33; ANSI/TIA-568",
    ),
    Rig(
        name="fixed 24 V injection into a negotiating camera",
        parts={
            "injector": part("injector", "in 8p8c; out 8p8c 24V 12W out", name="fixed 24 V injector"),
            "camera": CAMERA,
        },
        links=("camera:lan - injector:out",),
        finds={"poe-kind-mismatch": "stop"},
        also=frozenset({"poe-starved"}),
        why="A fixed voltage on the pairs is not IEEE 802.3; the camera is not made for it.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="a splitter with 24 W behind 18 W",
        parts={
            "switch A": SWITCH_65W,
            "splitter": part(
                "splitter",
                "in 8p8c class4 in; out dc-5.5x2.1 12V 18W out; data 8p8c",
                name="splitter, 12 V 18 W",
                poe={"efficiency": 0.85},
            ),
            "player": part("other", "dc dc-5.5x2.1 plug 12V 24W in", name="player"),
        },
        links=("splitter:in - switch A:1", "player:dc - splitter:out"),
        finds={"splitter-overloaded": "stop"},
        why="24 of 18 W.",
        source="data sheet",
    ),
    Rig(
        name="a 5 V device on a 12 V splitter",
        parts={
            "switch A": SWITCH_65W,
            "splitter": part(
                "splitter",
                "in 8p8c class4 in; out dc-5.5x2.1 12V 18W out; data 8p8c",
                name="splitter, 12 V 18 W",
                poe={"efficiency": 0.85},
            ),
            "player": part("other", "dc dc-5.5x2.1 plug 5V 4W in", name="player"),
        },
        links=("splitter:in - switch A:1", "player:dc - splitter:out"),
        finds={"dc-mismatch": "stop"},
        why="12 V into a 5 V inlet destroys it.",
        source="data sheet",
    ),
    Rig(
        name="a run of 110 m of solid cable",
        parts={"switch A": PLAIN, "switch B": PLAIN},
        links=(("switch A:8 - switch B:8", copper(110, 23, stranded=False)),),
        finds={"run-too-long": "caution"},
        never=frozenset({"run-limits-speed"}),
        why="110 m of 100 m; shorten by 10 m.",
        source="ANSI/TIA-568; IEEE 802.3",
    ),
    Rig(
        name="ninety-five metres of patch cord",
        parts={"switch A": PLAIN, "switch B": PLAIN},
        links=(("switch A:8 - switch B:8", copper(95, 24, stranded=True)),),
        finds={"run-too-long": "caution"},
        never=frozenset({"run-limits-speed"}),
        why="95 m x 1.2 is 114 of 102 m.",
        source="ANSI/TIA-568",
    ),
    Rig(
        name="two pairs between gigabit ports",
        parts={"switch A": PLAIN, "switch B": PLAIN},
        links=(("switch A:8 - switch B:8", copper(10, 24, pairs=2)),),
        finds={"run-limits-speed": "caution"},
        why="1000BASE-T needs four pairs; two carry 100 Mb/s.",
        source="IEEE 802.3, clause 40",
    ),
)
