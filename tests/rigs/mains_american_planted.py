"""Everyday errors with mains under North American rules."""

from tests.rigs.declare import Rig, part, several
from tests.rigs.gear import OUTLET_US_20A, lead, load, supply
from tests.rigs.mains_american_sound import COMPANY_SWITCH, RULES, SPLIT_BOX, STINGER, cam_links, cam_rack

LAMP_1_5KW = load("lamp, 1.5 kW", 1500, "nema-5-20 120V")
L14_LEAD = lead("a nema-l14-30 plug; b nema-l14-30 socket", length_m=15, awg=10)
L21_LEAD = lead("a nema-l21-30 plug; b nema-l21-30 socket", length_m=15, awg=10, rated_a=30)
GENERATOR_7K = part(
    "supply",
    "out nema-l14-30 240V out breaker30 rcd0",
    name="generator, 7 kVA, split phase",
    power={"output_va": 7000, "neutral_bonded": True},
)
WALL_L21 = part("distro", "out nema-l21-30 208V out breaker30 rcd0", name="L21-30 outlet")

RIGS = (
    Rig(
        name="both heavy lamps on line A of split phase",
        parts={
            "wall": part("distro", "out nema-l14-30 240V out breaker30 rcd0", name="L14-30 outlet"),
            "box": SPLIT_BOX,
            **several(2, "lamp", load("lamp, 1.8 kW", 1800, "nema-5-20 120V")),
        },
        links=(("box:in - wall:out", L14_LEAD), "lamp 1:in - box:1", "lamp 2:in - box:2"),
        finds={"circuit-overload": "stop"},
        also=frozenset({"cord-drop"}),
        why="Two of 15 A are 30 A on A; 30 A carry 24 A for hours. One on each line would be 15 A.",
        source="NFPA 70, 210.20(A)",
        rules=RULES,
    ),
    Rig(
        name="4 kVA on one line of a split-phase generator of 7 kVA",
        parts={
            "generator": GENERATOR_7K,
            "box": SPLIT_BOX,
            **several(2, "lamp", load("lamp, 1.9 kW", 1900, "nema-5-20 120V")),
        },
        links=(("box:in - generator:out", L14_LEAD), "lamp 1:in - box:3", "lamp 2:in - box:4"),
        finds={"source-overload": "stop"},
        also=frozenset({"circuit-overload", "cord-drop"}),
        why="B gives half, 3.5 kVA; 3.8 kVA are drawn from it.",
        source="ISO 8528-1; common practice",
        rules=RULES,
    ),
    Rig(
        name="a 120 V lamp on an outlet between two lines",
        parts={
            "wall": WALL_L21,
            "box": part(
                "distro", "in nema-l21-30 208V in; 1 nema-l6-20 208V out breaker20 rcd0 L1-L2", name="L21-30 to L6-20"
            ),
            "lamp": load("lamp, 120 V", 500, "nema-l6-20 120V"),
        },
        links=(("box:in - wall:out", L21_LEAD), "lamp:in - box:1"),
        finds={"mains-voltage": "stop"},
        why="208 V on a lamp for 120 V.",
        source="ANSI C84.1, from memory; NEMA WD 6",
        rules=RULES,
    ),
    Rig(
        name="a device for 220 to 240 V on 208 V",
        parts={
            "wall": part("distro", "1 nema-l6-20 208V out breaker20 rcd0", name="208 V outlet"),
            "device": load("LED screen, European", 1000, "nema-l6-20 220-240V"),
        },
        links=("device:in - wall:1",),
        finds={"mains-voltage": "stop"},
        why="208 V are below what its label takes.",
        source="ANSI C84.1, from memory",
        rules=RULES,
    ),
    Rig(
        name="a heater of 1.6 kW for hours on 15 A",
        parts={
            "wall": part("distro", "1 nema-5-15 120V out breaker15 rcd0", name="15 A outlet"),
            "heater": load("heater, 1.6 kW", 1600, "nema-5-15 120V", "other"),
        },
        links=("heater:in - wall:1",),
        finds={"circuit-overload": "stop"},
        why="13.3 A of the 12 A that 15 A carry for three hours and more.",
        source="NFPA 70, 210.20(A)",
        rules=RULES,
    ),
    Rig(
        name="five lamps of 4 kW on line 2 of a single-pole feed",
        parts={
            "switch": COMPANY_SWITCH,
            "rack": cam_rack("1-5 stage-pin-60 socket 120V out breaker60 rcd0 L2", "dimmer rack"),
            **several(5, "lamp", load("lamp, 4 kW", 4000, "stage-pin-60 120V")),
        },
        links=(*cam_links("rack", "switch"), *(f"lamp {n}:in - rack:{n}" for n in range(1, 6))),
        finds={"circuit-overload": "stop"},
        also=frozenset({"neutral-overload", "cord-drop"}),
        why="167 A on L2 of the 160 A that 200 A carry for hours.",
        source="NFPA 70, 210.20(A)",
        rules=RULES,
    ),
    Rig(
        name="a household cord of 16 AWG over sixty metres",
        parts={"wall": OUTLET_US_20A, "lamp": load("lamp, 1.2 kW", 1200, "nema-5-15 120V")},
        links=(("lamp:in - wall:1", lead("a nema-5-15 plug; b nema-5-15 socket", length_m=60, awg=16)),),
        finds={"cord-drop": "stop"},
        also=frozenset({"unprotected-reduction"}),
        why="2 x 10 A x 60 m x 15.3 ohm/km are 18 V of 120, 15 %: 102 V are below 120 V less a tenth.",
        source="NFPA 70, 210.19, chapter 9 table 8; ANSI C84.1",
        rules=RULES,
    ),
    Rig(
        name="18 AWG to a load of 12 A",
        parts={"wall": OUTLET_US_20A, "heater": load("heater, 1.44 kW", 1440, "nema-5-15 120V", "other")},
        links=(("heater:in - wall:1", lead("a nema-5-15 plug; b nema-5-15 socket", length_m=3, awg=18)),),
        finds={"coupler-overload": "stop"},
        why="12 A through a cord that carries 10 A.",
        source="NFPA 70, table 400.5(A)(1), from memory",
        rules=RULES,
    ),
    Rig(
        name="a stage pin adapter from 60 A to 20 A",
        parts={
            "wall": part("distro", "1 stage-pin-60 socket 120V out breaker60 rcd0", name="60 A outlet"),
            "adapter": part(
                "adapter", "in stage-pin-60 plug 120V in; 1-2 stage-pin-20 socket 120V out", name="60 to 2 x 20 A"
            ),
            "lamp": load("lamp, 1 kW", 1000, "stage-pin-20 120V"),
        },
        links=("adapter:in - wall:1", "lamp:in - adapter:1"),
        finds={"unprotected-reduction": "stop"},
        why="60 A through a connector of 20 A, with nothing between.",
        source="NFPA 70, 240.21, 520.53",
        rules=RULES,
    ),
    Rig(
        name="a ground lifter in front of an amplifier",
        parts={
            "wall": part("distro", "1-2 nema-5-15 120V out breaker15 rcd0", name="15 A outlets"),
            "amplifier": load("amplifier", 400, "c14 100-240V", "other"),
        },
        links=(("amplifier:in - wall:1", lead("a nema-5-15 plug; b c7 plug", length_m=2, awg=18)),),
        finds={"connector-mismatch": "stop"},
        also=frozenset({"earth-broken"}),
        why="A C7 enters no C14; whoever forces it leaves the ground out as well.",
        source="IEC 60320-1",
        rules=RULES,
    ),
    Rig(
        name="six supplies behind a ground-fault generator outlet",
        parts={
            "generator": part(
                "supply",
                "1-6 nema-5-20 120V out breaker20 rcd5",
                name="generator, 5 kVA",
                power={"output_va": 5000, "neutral_bonded": True},
            ),
            **several(6, "device", supply(60, leakage_ma=0.9, inrush_a=15, inrush_ms=0.3, third_harmonic=0.1)),
        },
        links=tuple(
            (f"device {n}:in - generator:{n}", lead("a nema-5-15 plug; b c13 plug", length_m=2, awg=18))
            for n in range(1, 7)
        ),
        finds={"leakage-high": "stop"},
        why="5.4 mA in all; a class A device trips between 4 and 6 mA.",
        source="UL 943, from memory; NFPA 70, 590.6",
        rules=RULES,
    ),
    Rig(
        name="two lamps on one stinger",
        parts={
            "wall": OUTLET_US_20A,
            "tap": part("adapter", "in nema-5-20 120V in; 1-3 nema-5-20 120V out", name="three-way tap"),
            **several(2, "lamp", LAMP_1_5KW),
        },
        links=(("tap:in - wall:1", STINGER), "lamp 1:in - tap:1", "lamp 2:in - tap:2"),
        finds={"circuit-overload": "stop"},
        also=frozenset({"coupler-overload", "cord-drop"}),
        why="25 A behind a breaker of 20 A.",
        source="NFPA 70, 210.20(A)",
        rules=RULES,
    ),
)
