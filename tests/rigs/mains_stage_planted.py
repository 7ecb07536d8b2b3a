"""Everyday errors with distribution on stages and in tents: phases, drums, protection, generators."""

from tests.rigs.declare import Rig, part, several
from tests.rigs.gear import C13_C14, C13_SCHUKO, OUTLET_13A, OUTLET_16A, STRIP, load, mains_lead, supply
from tests.rigs.mains_stage_sound import BOX_32, DRUM_25, FEED_32, FEED_63, LEAD_32_3, PAR, RED_32, RED_63

BLUE_32 = "iec60309-32-2pe-230"
NO_RCD_16 = part("distro", "1 cee7-3 230V out breakerC16 rcd0", name="16 A, curve C, no RCD")
DRUM_50 = part(
    "drum",
    "in cee7-7 230V in; 1-4 cee7-3 230V out",
    name="drum, 50 m of 1.5 mm2",
    cable={"length_m": 50, "area_mm2": 1.5, "rated_a": 16, "coiled_a": 5},
)
HEATER = load("fan heater, 3 kW", 3000, kind="other")
KETTLE = load("kettle, 2.2 kW", 2200, "c14 220-240V", "other")
LAMP_2KW = load("lamp, 2 kW", 2000)
C20_LEAD = mains_lead("a c20 plug; b c19 plug", 1, 1.5, 16)

RIGS = (
    Rig(
        name="three lamps of 15 A on L1 of a 32 A supply",
        parts={
            "house": FEED_32,
            "box": part(
                "distro",
                f"in {RED_32} 400V in; 1-3 iec60309-16-2pe-230 230V out breakerC16 L1; "
                "4 iec60309-16-2pe-230 230V out breakerC16 L2",
                name="32/3 box",
            ),
            **several(3, "lamp", load("lamp, 3.45 kW", 3450, "iec60309-16-2pe-230 230V")),
        },
        links=(("box:in - house:out", LEAD_32_3), *(f"lamp {n}:in - box:{n}" for n in (1, 2, 3))),
        finds={"circuit-overload": "stop"},
        also=frozenset({"cord-drop"}),
        why="3 x 15 A are 45 A on L1 of 32 A; spread they would be 15 A a line.",
        source="IEC 60364-4-43, 433.1",
    ),
    Rig(
        name="the same lamps on a box that nothing feeds yet",
        parts={
            "box": part(
                "distro", f"in {RED_32} 400V in; 1-3 iec60309-16-2pe-230 230V out breakerC16 L2", name="32/3 box"
            ),
            **several(3, "lamp", load("lamp, 3.45 kW", 3450, "iec60309-16-2pe-230 230V")),
        },
        links=tuple(f"lamp {n}:in - box:{n}" for n in (1, 2, 3)),
        finds={"coupler-overload": "stop"},
        why="45 A on L2 of an inlet of 32 A, whatever will feed it.",
        source="IEC 60309-1",
    ),
    Rig(
        name="a load on L1 of a sub-distro adds to one on L1 of its main",
        parts={
            "house": FEED_32,
            "main": part(
                "distro",
                f"in {RED_32} 400V in; out {RED_32} 400V out; 1 cee7-3 230V out breakerC16 rcd30 L1",
                name="32/3 feed-through box",
            ),
            "sub": BOX_32,
            **several(3, "heater", HEATER),
        },
        links=(
            ("main:in - house:out", LEAD_32_3),
            ("sub:in - main:out", LEAD_32_3),
            "heater 1:in - main:1",
            "heater 2:in - sub:1",
            "heater 3:in - sub:2",
        ),
        finds={"circuit-overload": "stop"},
        also=frozenset({"cord-drop"}),
        why="Three times 13 A on L1 are 39 A behind 32 A: the phases run through the box as they came in.",
        source="IEC 60364-4-43, 433.1",
    ),
    Rig(
        name="a drum of 50 m behind a breaker without a residual current device",
        parts={"wall": NO_RCD_16, "drum": DRUM_50, "lamp": load("lamp, 500 W", 500)},
        links=("drum:in - wall:1", "lamp:in - drum:1"),
        finds={"loop-too-long": "stop"},
        why="2 x 0.05 km x 13.3 ohm/km x 1.1965 = 1.59 ohm in the drum alone; C16 needs 0.95 x 230 / 160 = 1.37.",
        source="IEC 60364-4-41, 411.4.4; IEC 60898-1",
    ),
    Rig(
        name="two drums in a row to a heater",
        parts={"wall": OUTLET_16A, "drum A": DRUM_50, "drum B": DRUM_50, "heater": load("heater, 2 kW", 2000)},
        links=("drum A:in - wall:1", "drum B:in - drum A:1", "heater:in - drum B:1"),
        finds={"cord-drop": "stop", "drum-coiled": "caution"},
        why="2 x 8.7 A x 100 m x 13.3 ohm/km x 1.157 = 26.8 V, 11.6 %: 203 V are below 230 V less a tenth;"
        " and 8.7 A is above the coiled 5 A.",
        source="IEC 60364-5-52, annex G; IEC 60038; IEC 61242",
    ),
    Rig(
        name="a kettle on a drum that is left coiled",
        parts={"wall": OUTLET_16A, "drum": DRUM_25, "kettle": KETTLE},
        links=("drum:in - wall:1", ("kettle:in - drum:1", C13_SCHUKO)),
        finds={"drum-coiled": "caution"},
        also=frozenset({"cord-drop"}),
        why="9.6 A through a drum whose plate says 5 A coiled.",
        source="IEC 61242",
    ),
    Rig(
        name="kettle, coffee machine and fan heater on one drum",
        parts={
            "wall": OUTLET_16A,
            "drum": DRUM_25,
            "kettle": KETTLE,
            "coffee": load("coffee machine, 1.5 kW", 1500, "c14 230V", "other"),
            "heater": load("fan heater, 2 kW", 2000, kind="other"),
        },
        links=(
            "drum:in - wall:1",
            ("kettle:in - drum:1", C13_SCHUKO),
            ("coffee:in - drum:2", C13_SCHUKO),
            "heater:in - drum:3",
        ),
        finds={"circuit-overload": "stop"},
        also=frozenset({"drum-coiled", "cord-drop"}),
        why="5.7 kW is 24.8 A behind 16 A.",
        source="IEC 60364-4-43, 433.1",
    ),
    Rig(
        name="a 63 A feed on a 32 A box by a plain adapter",
        parts={
            "house": FEED_63,
            "adapter": part("adapter", f"in {RED_63} 400V in; out {RED_32} 400V out", name="63/32 adapter"),
            "box": part(
                "distro", f"in {RED_32} 400V in; 1-12 cee7-3 230V out breakerC16 rcd30", name="32/3 to 12 x 16"
            ),
            "lamp": PAR,
        },
        links=("adapter:in - house:out", ("box:in - adapter:out", LEAD_32_3), "lamp:in - box:1"),
        finds={"unprotected-reduction": "stop"},
        why="Up to 63 A may flow through couplers and a cable of 32 A: twelve breakers of 16 A let 64 A through.",
        source="IEC 60364-4-43, 433.2",
    ),
    Rig(
        name="2.5 mm2 on a 32 A feed",
        parts={"house": FEED_32, "heater": load("fan heater, 15 kW", 15_000, f"{RED_32} 400V", "other")},
        links=(("heater:in - house:out", mains_lead(f"a {RED_32} plug; b {RED_32} socket", 10, 2.5)),),
        finds={"coupler-overload": "stop", "unprotected-reduction": "stop"},
        why="21.7 A through a cable that carries 20 A with three loaded conductors, behind a breaker of 32 A.",
        source="IEC 60364-4-43, 433.1; BS 7671 table 4F3A, from memory",
    ),
    Rig(
        name="a drum of 1.5 mm2 on a 32 A outlet",
        parts={
            "house": part("distro", f"out {BLUE_32} 230V out breakerC32 rcd30", name="32 A outlet"),
            "drum": part(
                "drum",
                f"in {BLUE_32} 230V in; 1-2 cee7-3 230V out",
                name="drum, home-made",
                cable={"length_m": 20, "area_mm2": 1.5, "coiled_a": 5},
            ),
            "lamp": load("lamp, 500 W", 500),
        },
        links=("drum:in - house:out", "lamp:in - drum:1"),
        finds={"unprotected-reduction": "stop"},
        why="1.5 mm2 carries 16 A; the breaker lets 32 A through.",
        source="IEC 60364-4-43, 433.2",
    ),
    Rig(
        name="an 18 kW heater on a 16 A three-phase outlet",
        parts={
            "house": part(
                "distro", "out iec60309-16-3pne-400 400V out breakerC16 rcd30", name="house 16 A three-phase"
            ),
            "heater": load("fan heater, 18 kW", 18_000, "iec60309-16-3pne-400 400V", "other"),
        },
        links=("heater:in - house:out",),
        finds={"circuit-overload": "stop"},
        why="18 kW over three phases is 26 A behind 16 A.",
        source="IEC 60364-4-43, 433.1",
    ),
    Rig(
        name="twelve dimmed lamps of 2 kW on a 32 A feed",
        parts={
            "house": FEED_32,
            "dimmer": part(
                "distro",
                f"in {RED_32} 400V in; 1-4 cee7-3 230V out breakerC10 rcd30 L1; "
                "5-8 cee7-3 230V out breakerC10 rcd30 L2; 9-12 cee7-3 230V out breakerC10 rcd30 L3",
                name="dimmer, 12 x 10 A",
            ),
            **several(12, "lamp", load("lamp, 2 kW", 2000, third_harmonic=0.3)),
        },
        links=(("dimmer:in - house:out", LEAD_32_3), *(f"lamp {n}:in - dimmer:{n}" for n in range(1, 13))),
        finds={"circuit-overload": "stop"},
        also=frozenset({"cord-drop", "inrush-group"}),
        why="Four lamps on each line are 34.8 A of 32 A.",
        source="IEC 60364-4-43, 433.1",
    ),
    Rig(
        name="dimmed lamps on two lines fill the neutral",
        parts={
            "house": FEED_32,
            "dimmer": part(
                "distro",
                f"in {RED_32} 400V in; 1-3 cee7-3 230V out breakerC10 rcd30 L1; "
                "4-6 cee7-3 230V out breakerC10 rcd30 L2; 7-9 cee7-3 230V out breakerC10 rcd30 L3",
                name="dimmer, 9 x 10 A",
            ),
            **several(6, "lamp", load("lamp, 2 kW, dimmed low", 2000, third_harmonic=0.6)),
        },
        links=(("dimmer:in - house:out", LEAD_32_3), *(f"lamp {n}:in - dimmer:{n}" for n in range(1, 7))),
        finds={"neutral-overload": "stop"},
        also=frozenset({"circuit-overload", "cord-drop"}),
        why="26.1 A on L1 and L2, none on L3: the fundamentals leave about 26 A in the neutral, the third harmonics of "
        "both add 2 x 13.4 A: 37 A of 32 A, though each line is below its rating.",
        source="IEC 60364-5-52, annex E",
    ),
    Rig(
        name="many small supplies fill the neutral of a 16 A feed",
        parts={
            "house": part(
                "distro", "out iec60309-16-3pne-400 400V out breakerC16 rcd300", name="house 16 A three-phase"
            ),
            "box": part(
                "distro",
                "in iec60309-16-3pne-400 400V in; 1 c19 230V out L1; 2 c19 230V out L2; 3 c19 230V out L3",
                name="16/3 to 3 x C19",
            ),
            **several(
                3,
                "wall",
                load(
                    "LED wall, 40 small supplies",
                    1600,
                    "c20 220-240V",
                    power_factor=0.6,
                    third_harmonic=0.8,
                    leakage_ma=15,
                    inrush_a=100,
                ),
            ),
        },
        links=("box:in - house:out", *((f"wall {n}:in - box:{n}", C20_LEAD) for n in (1, 2, 3))),
        finds={"neutral-overload": "stop"},
        also=frozenset({"inrush-group"}),
        why="1,600 W / 0.6 is 11.6 A a line; with 80 % third harmonic 62 % of it, 7.2 A of each line, 21.7 A of 16 A.",
        source="IEC 60364-5-52, annex E",
    ),
    Rig(
        name="a fuse of 3 A in front of a heater",
        parts={"wall": OUTLET_13A, "heater": load("heater, 2 kW", 2000, "c14 230V", "other")},
        links=(
            (
                "heater:in - wall:1",
                {
                    **mains_lead("a bs1363 plug; b c13 plug", 2, 1.0, 10),
                    "cable": {"length_m": 2, "area_mm2": 1.0, "rated_a": 10, "fuse_a": 3},
                },
            ),
        ),
        finds={"coupler-overload": "stop"},
        why="8.7 A through a fuse of 3 A.",
        source="BS 1363-1; BS 1362",
    ),
    Rig(
        name="strips in a row",
        parts={
            "wall": OUTLET_16A,
            "strip A": STRIP,
            "strip B": STRIP,
            **several(3, "amplifier", load("amplifier", 1200, "c14 220-240V", "other", inrush_a=40)),
        },
        links=(
            ("strip A:in - wall:1", C13_SCHUKO),
            ("strip B:in - strip A:1", C13_C14),
            ("amplifier 1:in - strip A:2", C13_C14),
            *((f"amplifier {n}:in - strip B:{n}", C13_C14) for n in (2, 3)),
        ),
        finds={"coupler-overload": "stop"},
        also=frozenset({"circuit-overload", "inrush-group"}),
        why="Three amplifiers are 15.7 A through the first strip's inlet of 10 A.",
        source="IEC 60320-1",
    ),
    Rig(
        name="a lead of 0.75 mm2 to a load of 9 A",
        parts={"wall": OUTLET_16A, "heater": load("heater, 2 kW", 2000, "c14 230V", "other")},
        links=(("heater:in - wall:1", mains_lead("wall cee7-7; device c13 plug", 2, 0.75)),),
        finds={"coupler-overload": "stop"},
        why="8.7 A through a cord that carries 6 A.",
        source="BS 7671 table 4F3A, from memory",
    ),
    Rig(
        name="50 m of 2.5 mm2 behind C32 without a residual current device",
        parts={
            "house": part("distro", f"out {BLUE_32} 230V out breakerC32 rcd0", name="32 A, curve C, no RCD"),
            "box": part("distro", f"in {BLUE_32} 230V in; 1-2 cee7-3 230V out breakerB16", name="32/1 to 2 x 16"),
            "lamp": load("lamp, 500 W", 500),
        },
        links=(
            ("box:in - house:out", mains_lead(f"a {BLUE_32} plug; b {BLUE_32} socket", 50, 2.5, 32)),
            "lamp:in - box:1",
        ),
        finds={"loop-too-long": "stop"},
        why="0.95 ohm in the lead alone; C32 needs 0.95 x 230 / 320 = 0.68 ohm. Behind B16 it would do: 2.7 ohm.",
        source="IEC 60364-4-41, 411.4.4; IEC 60898-1",
    ),
    Rig(
        name="a long lead behind a device of 300 mA only",
        parts={
            "wall": part("distro", "1 cee7-3 230V out breakerC16 rcd300", name="16 A, curve C, 300 mA"),
            "device": supply(200),
        },
        links=(("device:in - wall:1", mains_lead("wall cee7-7; device c13 plug", 60, 1.0, 10)),),
        finds={"loop-too-long": "caution"},
        why="2.8 ohm is beyond the 1.37 of C16; the 300 mA device disconnects, but is slow for a person.",
        source="IEC 60364-4-41, 411.4.4 and 411.4.5",
    ),
    Rig(
        name="16 A wall plug on a 32 A distro",
        parts={
            "wall": OUTLET_16A,
            "adapter": part("adapter", "in cee7-7 230V in; out iec60309-32-2pe-230 230V out", name="16/32 adapter"),
            "distro": part(
                "distro", "in iec60309-32-2pe-230 230V in; 1-4 cee7-3 230V out breakerC16", name="32/1 distro"
            ),
            **several(3, "lamp", LAMP_2KW),
        },
        links=("adapter:in - wall:1", "distro:in - adapter:out", *(f"lamp {n}:in - distro:{n}" for n in (1, 2, 3))),
        finds={"circuit-overload": "stop"},
        why="6 kW is 26 A through a 16 A wall outlet.",
        source="IEC 60364-4-43, 433.1",
    ),
    Rig(
        name="a three-phase plug in a socket without neutral",
        parts={
            "feed": part("distro", "out iec60309-32-3pe-400 400V out breakerC32", name="32 A 3P+E"),
            "distro": part(
                "distro", "in iec60309-32-3pne-400 400V in; 1-6 cee7-3 230V out breakerC16", name="32/3 distro"
            ),
        },
        links=("distro:in - feed:out",),
        finds={"connector-mismatch": "stop"},
        why="3P+E and 3P+N+E of IEC 60309 do not enter each other.",
        source="IEC 60309-2",
    ),
)
