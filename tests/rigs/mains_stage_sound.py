"""Sound mains rigs of stages, tents and festival sites, as an electrician of the trade would build them."""

from tests.rigs.declare import Rig, part, several
from tests.rigs.gear import C13_C14, C13_SCHUKO, OUTLET_13A, OUTLET_16A, STRIP, load, mains_lead, supply

RED_32, RED_63 = "iec60309-32-3pne-400", "iec60309-63-3pne-400"
LEAD_32_3 = mains_lead(f"house {RED_32} plug; stage {RED_32} socket", 25, 6, 32)
LEAD_63_3 = mains_lead(f"house {RED_63} plug; stage {RED_63} socket", 25, 16, 63)
FEED_32 = part("distro", f"out {RED_32} 400V out breakerC32 rcd30", name="house 32 A three-phase")
FEED_63 = part("distro", f"out {RED_63} 400V out breakerC63 rcd300", name="house 63 A three-phase, 300 mA")
BOX_32 = part(
    "distro",
    f"in {RED_32} 400V in; 1-2 cee7-3 230V out breakerC16 rcd30 L1; 3-4 cee7-3 230V out breakerC16 rcd30 L2; "
    "5-6 cee7-3 230V out breakerC16 rcd30 L3",
    name="32/3 to 6 x 16, legs marked",
)
BOX_63 = part(
    "distro",
    f"in {RED_63} 400V in; A {RED_32} 400V out breakerC32; B {RED_32} 400V out breakerC32; "
    "1 cee7-3 230V out breakerC16 rcd30 L1; 2 cee7-3 230V out breakerC16 rcd30 L2; "
    "3 cee7-3 230V out breakerC16 rcd30 L3",
    name="63/3 to 2 x 32/3 and 3 x 16",
)
DRUM_25 = part(
    "drum",
    "in cee7-7 230V in; 1-4 cee7-3 230V out",
    name="drum, 25 m of 2.5 mm2",
    cable={"length_m": 25, "area_mm2": 2.5, "rated_a": 16, "coiled_a": 5},
)
PAR = load("lamp, 1 kW", 1000)
SPEAKER = load("active loudspeaker", 500, "mains-lock-20a-in 220-240V", "other", inrush_a=20, third_harmonic=0.1)
LOCK_SCHUKO = mains_lead("wall cee7-7; device mains-lock-20a-in plug", 5, 1.5, 16)

RIGS = (
    Rig(
        name="a 2.2 kW kettle on the lead that came with it",
        parts={
            "wall": OUTLET_16A,
            "kettle": part(
                "other", "in c14 220-240V in", name="kettle", power={"max_w": 2200, "protection_class": "I"}
            ),
        },
        links=(("kettle:in - wall:1", C13_SCHUKO),),
        why="A heater has a power factor of 1: 9.6 A of 10 A. Nobody wrote it, so it may be asked for, not stopped.",
        source="IEC 60320-1; common practice",
    ),
    Rig(
        name="a 32 A stage box with its legs marked and evenly used",
        parts={"house": FEED_32, "box": BOX_32, **several(6, "lamp", PAR)},
        links=(("box:in - house:out", LEAD_32_3), *(f"lamp {n}:in - box:{n}" for n in range(1, 7))),
        why="2 kW on each leg is 8.7 A of 32 A, nothing is left for the neutral; 4.3 A behind each C16.",
        source="IEC 60309-1; IEC 60898-1",
    ),
    Rig(
        name="a 63 A supply with a sub-distro at stage left",
        parts={
            "house": FEED_63,
            "main": BOX_63,
            "left": BOX_32,
            **several(6, "lamp", PAR),
            "desk": supply(400, inrush_a=20, inrush_ms=0.3, leakage_ma=0.75, third_harmonic=0.1),
        },
        links=(
            ("main:in - house:out", LEAD_63_3),
            ("left:in - main:A", LEAD_32_3),
            *(f"lamp {n}:in - left:{n}" for n in range(1, 7)),
            ("desk:in - main:1", C13_SCHUKO),
        ),
        why="8.7 A a line and 1.8 A more on L1; each breaker has a smaller one behind it, 6 mm2 carries 32 A. "
        "The 300 mA device selects against the 30 mA ones; a fault at the end of 25 m of 6 mm2 meets 0.2 ohm of 0.68.",
        source="IEC 60364-4-43, 433.1; IEC 60364-4-41, 411.4.4",
    ),
    Rig(
        name="two drums in a row to a small PA",
        parts={"wall": OUTLET_16A, "drum A": DRUM_25, "drum B": DRUM_25, **several(2, "speaker", SPEAKER)},
        links=(
            "drum A:in - wall:1",
            "drum B:in - drum A:1",
            *((f"speaker {n}:in - drum B:{n}", LOCK_SCHUKO) for n in (1, 2)),
        ),
        why="1 kW is 4.3 A, below the 5 A of a coiled drum; 50 m of 2.5 mm2 lose 4 V, 1.7 %.",
        source="IEC 61242; IEC 60364-5-52, annex G",
    ),
    Rig(
        name="a tent heater on a 16 A three-phase outlet",
        parts={
            "house": part(
                "distro", "out iec60309-16-3pne-400 400V out breakerC16 rcd30", name="house 16 A three-phase"
            ),
            "heater": load("fan heater, 9 kW", 9000, "iec60309-16-3pne-400 400V", "other"),
        },
        links=(
            (
                "heater:in - house:out",
                mains_lead("a iec60309-16-3pne-400 plug; b iec60309-16-3pne-400 socket", 10, 2.5, 16),
            ),
        ),
        why="9 kW over three phases is 13 A of 16 A: it is sold with that plug, and nothing else is on the circuit.",
        source="IEC 60309-1",
    ),
    Rig(
        name="a 20 kVA generator for a small stage, neutral bonded",
        parts={
            "generator": part(
                "supply",
                f"out {RED_32} 400V out breakerC32",
                name="generator, 20 kVA",
                power={"output_va": 20_000, "neutral_bonded": True},
            ),
            "box": BOX_32,
            **several(6, "lamp", PAR),
        },
        links=(("box:in - generator:out", LEAD_32_3), *(f"lamp {n}:in - box:{n}" for n in range(1, 7))),
        why="6 kVA of 20, 2 of 6.7 on each line; its neutral is bonded, so the 30 mA devices of the box see a fault.",
        source="ISO 8528-1; IEC 60364-5-55, 551.4",
    ),
    Rig(
        name="a small floating generator for one laptop and a lamp",
        parts={
            "generator": part(
                "supply",
                "1-2 cee7-3 230V out",
                name="generator, 2 kVA",
                power={"output_va": 2000, "neutral_bonded": False},
            ),
            "laptop": part(
                "computer", "in c8 100-240V in", name="laptop", power={"max_w": 65, "protection_class": "II"}
            ),
            "lamp": load("work lamp", 500),
        },
        links=(
            ("laptop:in - generator:1", mains_lead("wall cee7-16; device c7 plug", 2, 0.75, 2.5)),
            "lamp:in - generator:2",
        ),
        why="Electrical separation needs no bond and no residual-current device; 0.6 of 2 kVA.",
        source="IEC 60364-4-41, 413; ISO 8528-1",
    ),
    Rig(
        name="a dimmer of twelve channels on 63 A",
        parts={
            "house": FEED_63,
            "dimmer": part(
                "distro",
                f"in {RED_63} 400V in; 1-4 cee7-3 230V out breakerC10 rcd30 L1; "
                "5-8 cee7-3 230V out breakerC10 rcd30 L2; 9-12 cee7-3 230V out breakerC10 rcd30 L3",
                name="dimmer, 12 x 10 A",
            ),
            **several(12, "lamp", load("lamp, 1 kW, dimmed", 1000, third_harmonic=0.3)),
        },
        links=(("dimmer:in - house:out", LEAD_63_3), *(f"lamp {n}:in - dimmer:{n}" for n in range(1, 13))),
        why="17.4 A a line; dimmed, 0.29 of each adds up to 15 A in a neutral that carries 63 A.",
        source="IEC 60364-5-52, annex E",
    ),
    Rig(
        name="receivers of class II on a strip, with leads without earth",
        parts={
            "wall": OUTLET_16A,
            "strip": part("distro", "in cee7-7 230V in; 1-6 cee7-3 230V out", name="strip of six"),
            **several(
                4,
                "receiver",
                part(
                    "other",
                    "in c8 100-240V in",
                    name="radio receiver",
                    power={
                        "max_w": 15,
                        "power_factor": 0.6,
                        "protection_class": "II",
                        "inrush_a": 10,
                        "inrush_ms": 0.2,
                        "third_harmonic": 0.8,
                    },
                ),
            ),
        },
        links=(
            "strip:in - wall:1",
            *(
                (f"receiver {n}:in - strip:{n}", mains_lead("a cee7-16; b c7 plug", 1.8, 0.75, 2.5))
                for n in range(1, 5)
            ),
        ),
        why="Class II has no use for an earth: a flat two-pole plug is what comes with it. 0.4 A.",
        source="IEC 61140; IEC 60320-1",
    ),
    Rig(
        name="a show computer and its switch on an uninterruptible supply",
        parts={
            "wall": OUTLET_16A,
            "ups": part(
                "supply",
                "in c14 230V in; 1-6 c13 230V out",
                name="UPS, 1,500 VA",
                power={"output_va": 1500, "efficiency": 0.92},
                battery={"volts": 48, "amp_hours": 9},
            ),
            "computer": supply(450, inrush_a=30, inrush_ms=0.3, leakage_ma=0.9, third_harmonic=0.1),
            "switch": supply(120, inrush_a=15, inrush_ms=0.3, leakage_ma=0.5, third_harmonic=0.1),
        },
        links=(
            ("ups:in - wall:1", C13_SCHUKO),
            ("computer:in - ups:1", C13_C14),
            ("switch:in - ups:2", C13_C14),
        ),
        why="600 of 1,500 VA; 432 Wh at 0.92 over 570 W are 42 minutes at most.",
        source="IEC 62040-3",
    ),
    Rig(
        name="a media server with two supplies on two circuits",
        parts={
            "wall A": OUTLET_16A,
            "wall B": OUTLET_16A,
            "strip A": STRIP,
            "strip B": STRIP,
            "server": part(
                "computer",
                "A c14 100-240V in; B c14 100-240V in",
                name="media server, two supplies",
                power={
                    "max_w": 1400,
                    "power_factor": 0.98,
                    "protection_class": "I",
                    "leakage_ma": 1.5,
                    "inrush_a": 40,
                    "inrush_ms": 0.3,
                    "third_harmonic": 0.1,
                },
            ),
        },
        links=(
            ("strip A:in - wall A:1", C13_SCHUKO),
            ("strip B:in - wall B:1", C13_SCHUKO),
            ("server:A - strip A:1", C13_C14),
            ("server:B - strip B:1", C13_C14),
        ),
        why="Each side carries all of it, 6.2 A of 10 A, if the other is lost.",
        source="IEC 60320-1; common practice",
    ),
    Rig(
        name="the same server with both supplies on one strip",
        parts={
            "wall": OUTLET_16A,
            "strip": STRIP,
            "server": part(
                "computer",
                "A c14 100-240V in; B c14 100-240V in",
                name="media server, two supplies",
                power={
                    "max_w": 1400,
                    "power_factor": 0.98,
                    "protection_class": "I",
                    "leakage_ma": 1.5,
                    "inrush_a": 40,
                    "inrush_ms": 0.3,
                    "third_harmonic": 0.1,
                },
            ),
        },
        links=(
            ("strip:in - wall:1", C13_SCHUKO),
            *((f"server:{side} - strip:{n}", C13_C14) for n, side in ((1, "A"), (2, "B"))),
        ),
        why="It draws 6.2 A once, however many cords bring it: 10 A carry that.",
        source="IEC 60320-1",
    ),
    Rig(
        name="house and generator on a change-over switch",
        parts={
            "house": part("distro", "out iec60309-32-2pe-230 230V out breakerC32 rcd30", name="house 32 A"),
            "generator": part(
                "supply",
                "out iec60309-32-2pe-230 230V out breakerC32",
                name="generator, 8 kVA",
                power={"output_va": 8000, "neutral_bonded": True},
            ),
            "switch": part(
                "distro",
                "house iec60309-32-2pe-230 230V in; spare iec60309-32-2pe-230 230V in; "
                "1-2 cee7-3 230V out breakerC16 rcd30",
                name="change-over switch",
                power={"inlets_apart": True},
            ),
            **several(2, "lamp", PAR),
        },
        links=(
            "switch:house - house:out",
            "switch:spare - generator:out",
            "lamp 1:in - switch:1",
            "lamp 2:in - switch:2",
        ),
        why="The switch breaks before it makes: the two never work in parallel.",
        source="IEC 60364-5-55, 551.7; IEC 60947-6-1",
    ),
    Rig(
        name="a British strip with a fused plug",
        parts={
            "wall": OUTLET_13A,
            "strip": part(
                "distro",
                "in bs1363 230V in; 1-4 bs1363 230V out",
                name="strip, 13 A fuse",
                cable={"length_m": 3, "area_mm2": 1.5, "fuse_a": 13},
            ),
            "urn": load("tea urn", 2000, "bs1363 230V", "other"),
            "desk": load("desk lamp", 40, "bs1363 230V"),
        },
        links=("strip:in - wall:1", "urn:in - strip:1", "desk:in - strip:2"),
        why="8.9 A behind a fuse of 13 A on a ring of 32 A: the fuse in the plug is there for that.",
        source="BS 1363-1; IEC 60364-4-43, 433.2",
    ),
    Rig(
        name="six LED tiles in a chain of power",
        parts={
            "wall": part("distro", "1 cee7-3 230V out breakerC16 rcd30", name="16 A, curve C"),
            **several(
                6,
                "tile",
                part(
                    "fixture",
                    "in mains-lock-20a-in 100-240V in; out mains-lock-20a-out out",
                    name="LED tile",
                    power={
                        "max_w": 180,
                        "power_factor": 0.95,
                        "protection_class": "I",
                        "leakage_ma": 0.7,
                        "inrush_a": 15,
                        "inrush_ms": 0.3,
                        "third_harmonic": 0.1,
                    },
                ),
            ),
        },
        links=(
            ("tile 1:in - wall:1", LOCK_SCHUKO),
            *(
                (
                    f"tile {n + 1}:in - tile {n}:out",
                    mains_lead("a mains-lock-20a-out plug; b mains-lock-20a-in plug", 1, 1.5, 16),
                )
                for n in range(1, 6)
            ),
        ),
        why="Six of 189 VA are 4.9 A through the first; 4.2 mA of 9 mA; 90 A peak of the 113 A that C16 lets pass.",
        source="IEC 60364-5-53; IEC 60898-1",
    ),
    Rig(
        name="an amplifier rack with an amplifier on each line",
        parts={
            "house": FEED_32,
            "rack": part(
                "distro",
                f"in {RED_32} 400V in; 1 c19 230V out breakerC16 L1; 2 c19 230V out breakerC16 L2; "
                "3 c19 230V out breakerC16 L3",
                name="rack distro, 32/3 to 3 x C19",
            ),
            **several(
                3,
                "amplifier",
                load("amplifier", 2400, "c20 220-240V", "other", leakage_ma=1.5, inrush_a=60, third_harmonic=0.1),
            ),
        },
        links=(
            ("rack:in - house:out", LEAD_32_3),
            *((f"amplifier {n}:in - rack:{n}", mains_lead("a c20 plug; b c19 plug", 1, 1.5, 16)) for n in (1, 2, 3)),
        ),
        why="10.4 A a line, and 4.5 of 9 mA.",
        source="IEC 60320-1; IEC 60364-5-53",
    ),
    Rig(
        name="one 16 A circuit split to three lamps",
        parts={
            "wall": OUTLET_16A,
            "split": part("adapter", "in cee7-7 230V in; 1-3 cee7-3 230V out", name="three-way splitter"),
            **several(3, "lamp", load("LED lamp", 300, power_factor=0.95, leakage_ma=0.7)),
        },
        links=("split:in - wall:1", *(f"lamp {n}:in - split:{n}" for n in (1, 2, 3))),
        why="4.1 A behind 16 A, and 2.1 of 9 mA.",
        source="IEC 60898-1; IEC 60364-5-53",
    ),
)
