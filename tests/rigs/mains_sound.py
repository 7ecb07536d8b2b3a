"""Sound mains rigs, as an electrician of the trade would build them."""

from tests.rigs.declare import Rig, part, several
from tests.rigs.gear import (
    C13_C14,
    C13_SCHUKO,
    C19_SCHUKO,
    OUTLET_16A,
    OUTLET_US_20A,
    STRIP,
    STRIP_16A,
    mains_lead,
    supply,
)

GROUND_RACK = several(6, "device", supply(60, inrush_a=15, inrush_ms=0.3, leakage_ma=0.5, third_harmonic=0.1))

RIGS = (
    Rig(
        name="six small supplies on a strip behind a 16 A outlet",
        parts={"wall": OUTLET_16A, "strip": STRIP, **GROUND_RACK},
        links=(("strip:in - wall:1", C13_SCHUKO), *((f"device {n}:in - strip:{n}", C13_C14) for n in range(1, 7))),
        why="6 x 60 W / 0.95 = 379 VA, 1.65 A of 10 A at the inlet; six times 0.5 mA is 3 mA of 9 mA.",
        source="IEC 60364-5-53, IEC 60320-1",
    ),
    Rig(
        name="one heavy amplifier on its own 16 A lead",
        parts={
            "wall": OUTLET_16A,
            "amplifier": part(
                "other",
                "in c20 220-240V in",
                name="amplifier",
                power={
                    "max_w": 2200,
                    "typical_w": 600,
                    "power_factor": 0.98,
                    "protection_class": "I",
                    "leakage_ma": 1.5,
                    "inrush_a": 60,
                    "inrush_ms": 0.5,
                    "third_harmonic": 0.1,
                },
            ),
        },
        links=(("amplifier:in - wall:1", C19_SCHUKO),),
        why="2,245 VA is 9.8 A of 16 A, 61 %; the lead carries 16 A.",
        source="IEC 60320-1, IEC 60898-1",
    ),
    Rig(
        name="the same supply at 120 V on a 20 A circuit",
        parts={"wall": OUTLET_US_20A, "device": supply(400, inrush_a=20, inrush_ms=0.3, leakage_ma=0.5)},
        links=(("device:in - wall:1", mains_lead("wall nema-5-15 plug; device c13 plug", 2, 0.82, 10)),),
        why="400 W / 0.95 is 3.5 A of 16 A (80 % of 20 A).",
        source="NFPA 70, 210.20(A)",
        rules="north_america",
        never=frozenset({"leakage-high"}),
    ),
    Rig(
        name="a 32 A three-phase distro with its load spread over the phases",
        parts={
            "feed": part("distro", "out iec60309-32-3pne-400 400V out breakerC32 rcd30", name="house 32 A three-phase"),
            "distro": part(
                "distro", "in iec60309-32-3pne-400 400V in; 1-6 cee7-3 230V out breakerC16", name="32/3 to 6 x 16"
            ),
            **several(
                6,
                "lamp",
                part(
                    "fixture",
                    "in cee7-7 220-240V in",
                    name="lamp, 1 kW",
                    power={
                        "max_w": 1000,
                        "power_factor": 0.99,
                        "protection_class": "I",
                        "leakage_ma": 0.7,
                        "inrush_a": 10,
                        "inrush_ms": 1.0,
                        "third_harmonic": 0.05,
                    },
                ),
            ),
        },
        links=(
            (
                "distro:in - feed:out",
                mains_lead("wall iec60309-32-3pne-400 plug; device iec60309-32-3pne-400 socket", 10, 6.0, 32),
            ),
            *(f"lamp {n}:in - distro:{n}" for n in range(1, 7)),
        ),
        why="2 kW a phase is 8.7 A of 32 A; leakage is 6 x 0.7 = 4.2 of 9 mA.",
        source="IEC 60309-1, IEC 60364-5-53",
    ),
    Rig(
        name="a load that is typed with its single nominal voltage",
        parts={
            "wall": OUTLET_16A,
            "projector": part(
                "other",
                "in c14 230V in",
                name="projector",
                power={
                    "max_w": 450,
                    "power_factor": 0.95,
                    "protection_class": "I",
                    "leakage_ma": 0.8,
                    "inrush_a": 40,
                    "inrush_ms": 0.3,
                    "third_harmonic": 0.1,
                },
            ),
        },
        links=(("projector:in - wall:1", C13_SCHUKO),),
        why="One nominal voltage means its tolerance: 230 V plus or minus 10 %.",
        source="IEC 60038",
    ),
    Rig(
        name="a label of 220 V at a 230 V outlet",
        parts={
            "wall": OUTLET_16A,
            "fan": part(
                "fan",
                "in c14 220V in",
                name="stage fan",
                power={
                    "max_w": 90,
                    "power_factor": 0.9,
                    "protection_class": "I",
                    "leakage_ma": 0.3,
                    "inrush_a": 5,
                    "inrush_ms": 20,
                    "third_harmonic": 0.1,
                },
            ),
        },
        links=(("fan:in - wall:1", C13_SCHUKO),),
        why="220 V and 240 V are older nominal values of the 230 V system; 230 V is within 10 % of both.",
        source="IEC 60038",
    ),
    Rig(
        name="a heater with a strip of its own rating",
        parts={
            "wall": OUTLET_16A,
            "strip": STRIP_16A,
            "heater": part(
                "other",
                "in c14 230V in",
                name="heater, 1.5 kW",
                power={
                    "max_w": 1500,
                    "power_factor": 1.0,
                    "protection_class": "I",
                    "leakage_ma": 0.75,
                    "inrush_a": 10,
                    "inrush_ms": 1,
                    "third_harmonic": 0.0,
                },
            ),
        },
        links=(("strip:in - wall:1", C19_SCHUKO), ("heater:in - strip:1", C13_C14)),
        why="6.5 A on a 10 A outlet of a strip that carries 16 A, on a 16 A circuit.",
        source="IEC 60320-1",
    ),
    Rig(
        name="a drum that is unwound, with a small load",
        parts={
            "wall": OUTLET_16A,
            "drum": part(
                "drum",
                "in cee7-7 230V in; 1-4 cee7-3 230V out",
                name="drum, 25 m of 2.5 mm2",
                cable={"length_m": 25, "area_mm2": 2.5, "rated_a": 16, "coiled_a": 5},
            ),
            "device": supply(300, inrush_a=20, inrush_ms=0.3, leakage_ma=0.75, third_harmonic=0.1),
        },
        links=("drum:in - wall:1", ("device:in - drum:1", C13_SCHUKO)),
        why="1.4 A is below the coiled rating of 5 A as well; the drop is 0.5 V.",
        source="IEC 61242",
    ),
    Rig(
        name="an L6 inlet at 208 V that nothing feeds yet",
        parts={
            "distro": part("distro", "in nema-l6-30 208V in; 1-4 c13 208V out breaker15", name="208 V distro"),
            "device": supply(400, inrush_a=20, inrush_ms=0.3, leakage_ma=0.5, third_harmonic=0.1),
        },
        links=(("device:in - distro:1", C13_C14),),
        why="208 V between two legs is what a NEMA L6 connector is for.",
        source="NEMA WD 6",
        rules="north_america",
        never=frozenset({"mains-voltage"}),
    ),
    Rig(
        name="a yellow 110 V site tool kit",
        parts={
            "feed": part("distro", "out iec60309-16-2pe-110 110V out breakerC16 rcd30", name="110 V site supply"),
            "lamp": part(
                "fixture",
                "in iec60309-16-2pe-110 110V in",
                name="site lamp",
                power={
                    "max_w": 500,
                    "power_factor": 1.0,
                    "protection_class": "I",
                    "leakage_ma": 0.3,
                    "inrush_a": 10,
                    "inrush_ms": 2,
                    "third_harmonic": 0.0,
                },
            ),
        },
        links=("lamp:in - feed:out",),
        why="The yellow family is for 100 to 130 V; 4.5 A of 16 A.",
        source="IEC 60309-2",
    ),
)
