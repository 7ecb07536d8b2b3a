"""Everyday errors with power over Ethernet, copper runs, direct current and panels, each in an otherwise sound rig."""

from tests.rigs.backbone_planted import MANAGED, PLAIN, SWITCH
from tests.rigs.declare import Rig, lead, part, several
from tests.rigs.gear import ACCESS_POINT, CAMERA, PANEL_8, SWITCH_65W, copper, rear

RIGS = (
    Rig(
        name="five class 3 stations on a 65 W switch",
        parts={
            "switch A": part(
                "switch",
                "1-8 8p8c 1G class4 out",
                name="eight powered ports, 65 W",
                poe={"budget_w": 65, "allotment": "class"},
            ),
            **several(5, "station", part("other", "lan 8p8c 100M class3 in", name="intercom station, class 3")),
        },
        links=tuple((f"station {n}:lan - switch A:{n}", copper(20)) for n in range(1, 6)),
        finds={"poe-budget-exceeded": "stop"},
        why="5 x 15.4 W is 77 of 65 W: the fifth stays dark.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="a class 6 camera on a class 4 port",
        parts={
            "switch A": SWITCH_65W,
            "camera": part("camera", "lan 8p8c 1G class6 in", name="moving camera, class 6"),
        },
        links=(("camera:lan - switch A:1", copper(30)),),
        finds={"poe-reduced": "caution"},
        why="51 W are asked for and 25.5 W granted: it will not move, or not start.",
        source="IEEE 802.3, clause 145",
    ),
    Rig(
        name="a 15 W injector before a class 4 access point",
        parts={
            "switch A": PLAIN,
            "access point": ACCESS_POINT,
            "injector": part("injector", "in 8p8c; out 8p8c class3 out", name="injector, 15.4 W"),
        },
        links=(("injector:in - switch A:1", copper(2, 26)), ("access point:lan - injector:out", copper(30))),
        finds={"poe-reduced": "caution"},
        why="Class 3 gives 12.95 W where 25.5 W are asked for.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="class 6 over a lead of two pairs",
        parts={
            "switch A": part(
                "switch", "1-4 8p8c 1G class6 out", name="switch, class 6", poe={"budget_w": 240, "allotment": "class"}
            ),
            "camera": part("camera", "lan 8p8c 100M class6 in", name="moving camera, class 6"),
        },
        links=(("camera:lan - switch A:1", copper(30, pairs=2)),),
        finds={"poe-reduced": "caution"},
        why="Above class 4 all four pairs carry the power; over two the port grants 25.5 W.",
        source="IEEE 802.3, clause 145",
    ),
    Rig(
        name="a negotiating port into a radio link for fixed 24 V",
        parts={
            "switch A": SWITCH_65W,
            "bridge": part("access-point", "lan 8p8c 1G 24V 12W in", name="radio link, fixed 24 V"),
        },
        links=(("bridge:lan - switch A:1", copper(30)),),
        finds={"poe-kind-mismatch": "stop"},
        also=frozenset({"unfed"}),
        why="It does not negotiate: the port finds no signature and gives nothing.",
        source="IEEE 802.3, clause 33",
    ),
    Rig(
        name="eighty metres of thin patch cord",
        parts=several(2, "switch", SWITCH),
        links=(("switch 1:8 - switch 2:8", copper(80, 26, stranded=True)),),
        finds={"run-too-long": "caution"},
        why="80 x 1.5 is 120 of 102 m.",
        source="ANSI/TIA-568",
    ),
    Rig(
        name="ten gigabit over eighty metres of category 6",
        parts=several(2, "switch", part("switch", "1-4 8p8c 10G", name="switch, 10G", network=MANAGED)),
        links=(("switch 1:4 - switch 2:4", copper(80, 23, stranded=False)),),
        finds={"run-limits-speed": "caution"},
        why="Category 6 carries 10GBASE-T for 55 m; the two ends fall back to 5 Gb/s.",
        source="IEEE 802.3, clause 55; TIA TSB-155",
    ),
    Rig(
        name="a run of six leads through five panels",
        parts={"case": PANEL_8, **several(2, "switch", SWITCH)},
        links=(
            ("switch 1:8 - case:LAN 1 rear", copper(1)),
            ("case:LAN 1 - case:LAN 2", copper(10)),
            ("case:LAN 2 rear - case:LAN 3 rear", copper(1)),
            ("case:LAN 3 - case:LAN 4", copper(10)),
            ("case:LAN 4 rear - case:LAN 5 rear", copper(1)),
            ("case:LAN 5 - switch 2:8", copper(10)),
        ),
        finds={"run-many-joints": "caution"},
        why="Five feed-throughs between the ends, four at most.",
        source="ANSI/TIA-568",
    ),
    Rig(
        name="a category 5e tail in a ten gigabit run",
        parts=several(2, "server", part("computer", "lan 8p8c 10G", name="media server")) | {"case": PANEL_8},
        links=(
            ("server 1:lan - case:LAN 1 rear", copper(2, 26, category="5e")),
            ("case:LAN 1 - server 2:lan", copper(40, category="6a")),
        ),
        finds={"run-limits-speed": "caution"},
        why="The weakest part counts: 5e carries 2.5 Gb/s.",
        source="IEEE 802.3, clauses 55 and 126",
    ),
    Rig(
        name="a hundred metres in the roof of a hot tent",
        parts=several(2, "switch", SWITCH),
        links=(("switch 1:8 - switch 2:8", copper(97, 23, stranded=False)),),
        kit={"ambient_celsius": 45},
        finds={"run-too-long": "caution"},
        why="At 45 C cable loses 11 % more: 102 m shrink to 91.9, and 97 m lie.",
        source="ANSI/TIA-568.2-D, annex on temperature",
    ),
    Rig(
        name="a splitter that feeds a converter and a screen",
        parts={
            "switch A": SWITCH_65W,
            "splitter": part(
                "splitter",
                "in 8p8c class3 in; out 1-2 dc-5.5x2.1 12V 18W out; data 8p8c",
                name="splitter, class 3",
                poe={"efficiency": 0.85},
            ),
            "converter": part("converter", "dc dc-5.5x2.1 plug 12V 8W in", name="converter"),
            "screen": part("other", "dc dc-5.5x2.1 plug 12V 6W in", name="screen"),
        },
        links=(("splitter:in - switch A:1", copper(5)), "converter:dc - splitter:out 1", "screen:dc - splitter:out 2"),
        finds={"splitter-overloaded": "stop"},
        why="Class 3 brings 12.95 W, 11.0 W at 85 %: the two draw 14 W.",
        source="IEEE 802.3, clause 33; data sheet",
    ),
    Rig(
        name="a camera of 24 V at the end of a long thin lead",
        parts={
            "supply": part(
                "supply",
                "in c14 100-240V in; out xlr-4 24V 60W out",
                name="supply, 24 V",
                power={
                    "output_volts": 24,
                    "output_w": 60,
                    "efficiency": 0.88,
                    "power_factor": 0.95,
                    "protection_class": "I",
                    "leakage_ma": 0.3,
                },
            ),
            "camera": part("camera", "in xlr-4 plug 20-28V 40W in", name="camera, 24 V"),
        },
        links=(("supply:out - camera:in", lead("a xlr-4 plug; b xlr-4 socket", length_m=60, area_mm2=0.75)),),
        finds={"dc-drop": "stop"},
        also=frozenset({"unfed"}),
        why="2 x 60 m of 0.75 mm2 are 3.1 ohm: with 40 W less than 17 V of 24 arrive, 20 V are needed.",
        source="IEC 60228; Ohm's law",
    ),
    Rig(
        name="a broken latch on a panel hole in use",
        parts={
            "case": part(
                "case", "LAN 1-4 8p8c-rugged outside through 8p8c", name="four holes", damage={"LAN 2": "latch"}
            ),
            "switch A": SWITCH_65W,
            "camera": CAMERA,
        },
        links=(
            rear(2, "switch A:1"),
            ("camera:lan - case:LAN 2", lead("a 8p8c-rugged plug; b 8p8c plug", length_m=30, awg=24, category="6")),
        ),
        finds={"retention-lost": "caution"},
        why="Only friction holds the plug over which everybody steps.",
        source="IEC 60603-7; common practice",
    ),
    Rig(
        name="bare plugs in a panel that asks for locks",
        parts={"case": PANEL_8, "switch A": SWITCH_65W, "camera": CAMERA},
        links=(rear(1, "switch A:1"), ("camera:lan - case:LAN 1", copper(30))),
        kit={"exposed_retention": "lock"},
        finds={"exposed-not-retained": "caution"},
        why="A bare plug is held by its plastic latch; the kit asks for a lock on the outside.",
        source="IEC 60603-7",
    ),
)
