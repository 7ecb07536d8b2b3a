"""Everyday errors with mains, each planted into an otherwise sound rig."""

from tests.rigs.declare import Rig, part, several
from tests.rigs.gear import C13_C14, C13_SCHUKO, C19_SCHUKO, OUTLET_16A, STRIP, mains_lead, supply

HEATER = part("other", "in c14 230V in", name="heater, 2 kW",
              power={"max_w": 2000, "power_factor": 1.0, "protection_class": "I"})  # fmt: skip
BARE_STRIP = part("distro", "in c14; 1-6 c13", name="outlet strip, typed by connectors only")
LAMP_1KW = part("fixture", "in cee7-7 230V in", name="lamp, 1 kW",
                power={"max_w": 1000, "power_factor": 1.0, "protection_class": "I", "leakage_ma": 0.3})  # fmt: skip
LAMP_2KW = part("fixture", "in cee7-7 230V in", name="lamp, 2 kW",
                power={"max_w": 2000, "power_factor": 1.0, "protection_class": "I", "leakage_ma": 0.3})  # fmt: skip
FEED_32_3 = part("distro", "out iec60309-32-3pne-400 400V out breakerC32 rcd30", name="house 32 A three-phase")

RIGS = (
    Rig(
        name="six 2 kW heaters on a C14 strip that nothing feeds yet",
        parts={"strip": STRIP, **several(6, "heater", HEATER)},
        links=tuple((f"heater {n}:in - strip:{n}", C13_C14) for n in range(1, 7)),
        finds={"coupler-overload": "stop"},
        why="12 kW is 52 A; a C14 inlet carries 10 A, whatever will feed it.",
        source="IEC 60320-1",
    ),
    Rig(
        name="six 2 kW heaters on a strip typed by connectors only",
        parts={"strip": BARE_STRIP, **several(6, "heater", HEATER)},
        links=tuple((f"heater {n}:in - strip:{n}", C13_C14) for n in range(1, 7)),
        finds={"coupler-overload": "stop"},
        why="Kind and connector say which port is inlet and which outlet; the load does not vanish.",
        source="IEC 60320-1",
    ),
    Rig(
        name="59 A a phase on a 32 A inlet that nothing feeds yet",
        parts={
            "distro": part(
                "distro", "in iec60309-32-3pne-400 400V in; 1-20 cee7-3 230V out breakerC16", name="32/3 distro"
            ),
            **several(20, "lamp", LAMP_2KW),
        },
        links=tuple(f"lamp {n}:in - distro:{n}" for n in range(1, 21)),
        finds={"coupler-overload": "stop"},
        why="40 kW over three phases is 58 A each; the inlet is rated 32 A.",
        source="IEC 60309-1",
    ),
    Rig(
        name="two heaters on one 16 A outlet through a strip",
        parts={
            "wall": OUTLET_16A,
            "strip": part("distro", "in c20 230V in; 1-2 c19 230V out", name="C20 strip"),
            **several(
                2,
                "heater",
                part(
                    "other",
                    "in c20 230V in",
                    name="heater, 2 kW, C20",
                    power={"max_w": 2000, "power_factor": 1.0, "protection_class": "I"},
                ),
            ),
        },
        links=(
            ("strip:in - wall:1", C19_SCHUKO),
            *((f"heater {n}:in - strip:{n}", mains_lead("a c20 plug; b c19 plug", 1, 1.5, 16)) for n in (1, 2)),
        ),
        finds={"circuit-overload": "stop"},
        why="4 kW is 17.4 A behind a 16 A breaker.",
        source="IEC 60364-4-43, 433.1",
    ),
    Rig(
        name="17 A continuous on a 20 A branch circuit",
        parts={
            "wall": part("distro", "1 nema-l5-20 120V out breaker20 rcd0", name="20 A outlet"),
            "lamp": part(
                "fixture",
                "in nema-l5-20 120V in",
                name="lamp, 2 kW",
                power={"max_w": 2040, "power_factor": 1.0, "protection_class": "I"},
            ),
        },
        links=("lamp:in - wall:1",),
        rules="north_america",
        finds={"circuit-overload": "stop"},
        why="2,040 W at 120 V is 17 A; a 20 A breaker carries 16 A for three hours and more.",
        source="NFPA 70, 210.20(A)",
    ),
    Rig(
        name="32 A to 16 A adapter without a breaker",
        parts={
            "feed": part("distro", "out iec60309-32-2pe-230 230V out breakerC32 rcd30", name="house 32 A"),
            "adapter": part(
                "adapter", "in iec60309-32-2pe-230 230V in; out iec60309-16-2pe-230 230V out", name="32/16 adapter"
            ),
            "lamp": part(
                "fixture",
                "in iec60309-16-2pe-230 230V in",
                name="lamp, 1 kW",
                power={"max_w": 1000, "power_factor": 1.0, "protection_class": "I"},
            ),
        },
        links=("adapter:in - feed:out", "lamp:in - adapter:out"),
        finds={"unprotected-reduction": "stop"},
        why="A fault behind the 16 A coupler draws up to 32 A for as long as it likes.",
        source="IEC 60364-4-43, 433.2",
    ),
    Rig(
        name="a 120 V device on a 230 V outlet",
        parts={
            "wall": OUTLET_16A,
            "device": part(
                "other", "in c14 120V in", name="120 V device", power={"max_w": 100, "protection_class": "I"}
            ),
        },
        links=(("device:in - wall:1", C13_SCHUKO),),
        finds={"mains-voltage": "stop"},
        why="230 V is far outside 120 V plus or minus 10 %.",
        source="IEC 60038",
    ),
    Rig(
        name="a 230 V only device on a 120 V outlet",
        parts={
            "wall": part("distro", "1 nema-5-15 120V out breaker15", name="120 V outlet"),
            "device": part(
                "other", "in c14 220-240V in", name="230 V device", power={"max_w": 100, "protection_class": "I"}
            ),
        },
        links=(("device:in - wall:1", mains_lead("wall nema-5-15 plug; device c13 plug", 2, 0.82)),),
        rules="north_america",
        finds={"mains-voltage": "stop"},
        why="A device for 220 to 240 V does not work on 120 V.",
        source="IEC 60038, ANSI C84.1",
    ),
    Rig(
        name="neutral lost in a plug with pins that face the supply",
        parts={
            "feed": part("distro", "out iec60309-16-2pe-230 plug 230V out breakerC16", name="supply with a plug"),
            "lamp": part(
                "fixture",
                "in iec60309-16-2pe-230 socket 230V in",
                name="lamp with a socket",
                power={"max_w": 500, "protection_class": "I"},
            ),
        },
        links=("lamp:in - feed:out",),
        finds={"live-pins": "stop"},
        why="The supplying end carries pins: they are live and can be touched when parted.",
        source="IEC 60364-4-41",
    ),
    Rig(
        name="a two-pole lead in front of a class I device",
        parts={
            "wall": OUTLET_16A,
            "device": part(
                "other", "in c14 230V in", name="class I device", power={"max_w": 60, "protection_class": "I"}
            ),
        },
        links=(("device:in - wall:1", mains_lead("a cee7-16; b c13 plug", 2, 0.75, 2.5)),),
        finds={"earth-broken": "stop"},
        why="A class I device needs the protective conductor; the plug of 2.5 A has two poles.",
        source="IEC 60364-4-41, 411.3.1.1",
    ),
    Rig(
        name="a full drum left coiled",
        parts={
            "wall": OUTLET_16A,
            "drum": part(
                "drum",
                "in cee7-7 230V in; 1-4 cee7-3 230V out",
                name="drum, 50 m of 1.5 mm2",
                cable={"length_m": 50, "area_mm2": 1.5, "rated_a": 16, "coiled_a": 4.35},
            ),
            "lamp": LAMP_2KW,
        },
        links=("drum:in - wall:1", "lamp:in - drum:1"),
        finds={"drum-coiled": "caution", "cord-drop": "caution"},
        why="8.7 A is above the 4.35 A of the coiled plate; unwound it may carry 16 A, but loses 13.4 V, 5.8 %, in its "
        "own 50 m: 2 x 8.7 A x 50 m x 13.3 ohm/km x 1.157.",
        source="IEC 61242; IEC 60364-5-52, annex G; IEC 60228",
    ),
    Rig(
        name="four lamps on the outlets of one drum, above its unwound rating",
        parts={
            "wall": part("distro", "1 iec60309-32-2pe-230 230V out breakerC32 rcd30", name="32 A outlet"),
            "drum": part(
                "drum",
                "in iec60309-32-2pe-230 230V in; 1-4 cee7-3 230V out breakerC16",
                name="drum, 16 A cable",
                cable={"length_m": 25, "area_mm2": 2.5, "rated_a": 16, "coiled_a": 5},
            ),
            **several(4, "lamp", LAMP_2KW),
        },
        links=("drum:in - wall:1", *(f"lamp {n}:in - drum:{n}" for n in range(1, 5))),
        finds={"coupler-overload": "stop", "unprotected-reduction": "stop"},
        also=frozenset({"circuit-overload", "drum-coiled", "cord-drop"}),
        why="Four outlets draw 34.8 A through a cable that carries 16 A unwound, and the breaker lets 32 A through.",
        source="IEC 61242; IEC 60364-4-43, 433.2",
    ),
    Rig(
        name="fifty metres of thin cord to a 10 A load",
        parts={
            "wall": OUTLET_16A,
            "lamp": part(
                "fixture",
                "in c14 230V in",
                name="lamp, 2.3 kW, 220 V at least",
                power={"max_w": 2300, "power_factor": 1.0, "protection_class": "I"},
            ),
        },
        links=(("lamp:in - wall:1", mains_lead("wall cee7-7; device c13 plug", 50, 1.5, 16)),),
        finds={"cord-drop": "caution"},
        why="2 x 10 A x 50 m x 13.3 ohm/km x 1.157 (60 C) = 15.4 V, 6.7 %.",
        source="IEC 60364-5-52, annex G; IEC 60228",
    ),
    Rig(
        name="a long thin lead behind a C16 breaker without a residual current device",
        parts={
            "wall": part("distro", "1 cee7-3 230V out breakerC16 rcd0", name="16 A, curve C, no RCD"),
            "device": supply(200),
        },
        links=(("device:in - wall:1", mains_lead("wall cee7-7; device c13 plug", 60, 1.0, 10)),),
        finds={"loop-too-long": "stop"},
        why="2 x 0.06 km x 19.5 ohm/km x 1.2 = 2.8 ohm alone; C16 needs 0.95 x 230 / 160 = 1.37 ohm.",
        source="IEC 60364-4-41, 411.4.4; IEC 60898-1",
    ),
    Rig(
        name="twenty-one supplies behind one 30 mA device",
        parts={
            "wall": OUTLET_16A,
            "strip": part("distro", "in c20 230V in; 1-21 c13 230V out breaker10", name="strip of 21"),
            **several(21, "device", supply(30, leakage_ma=0.75)),
        },
        links=(("strip:in - wall:1", C19_SCHUKO), *((f"device {n}:in - strip:{n}", C13_C14) for n in range(1, 22))),
        finds={"leakage-high": "stop"},
        why="15.75 mA; a 30 mA device may trip from 15 mA on.",
        source="IEC 60364-5-53, 531.3.2; IEC 61008-1",
    ),
    Rig(
        name="thirteen supplies behind one 30 mA device",
        parts={
            "wall": OUTLET_16A,
            "strip": part("distro", "in c20 230V in; 1-13 c13 230V out breaker10", name="strip of 13"),
            **several(13, "device", supply(30, leakage_ma=0.75)),
        },
        links=(("strip:in - wall:1", C19_SCHUKO), *((f"device {n}:in - strip:{n}", C13_C14) for n in range(1, 14))),
        finds={"leakage-high": "caution"},
        why="9.75 mA; standing leakage should stay below 0.3 x 30 = 9 mA.",
        source="IEC 60364-5-53, 531.3.2",
    ),
    Rig(
        name="dimmed lamps whose third harmonic overloads the neutral",
        parts={
            "feed": part("distro", "out iec60309-16-3pne-400 400V out breakerC16 rcd30", name="house 16 A three-phase"),
            "dimmer": part(
                "distro",
                "in iec60309-16-3pne-400 400V in",
                name="dimmer rack",
                power={"max_w": 8280, "power_factor": 1.0, "third_harmonic": 0.6, "protection_class": "I"},
            ),
        },
        links=("dimmer:in - feed:out",),
        finds={"neutral-overload": "stop"},
        why="12 A a phase with 60 % third harmonic puts 21.6 A into a 16 A neutral.",
        source="IEC 60364-5-52, annex E",
    ),
    Rig(
        name="plug to plug: two outlets joined",
        parts={"wall A": OUTLET_16A, "wall B": OUTLET_16A},
        links=(("wall A:1 - wall B:1", mains_lead("a cee7-7; b cee7-7", 5, 1.5, 16)),),
        finds={"sources-joined": "stop"},
        why="A lead with two plugs joins two supplies; the free plug has live pins.",
        source="IEC 60364-4-41",
    ),
    Rig(
        name="house and generator on one distro",
        parts={
            "house": part("distro", "out iec60309-16-2pe-230 230V out breakerC16", name="house"),
            "generator": part(
                "supply",
                "out iec60309-16-2pe-230 230V out breakerC16",
                name="generator, 3 kVA",
                power={"output_va": 3000},
            ),
            "box": part(
                "distro",
                "in A iec60309-16-2pe-230 230V in; in B iec60309-16-2pe-230 230V in; 1 cee7-3 230V out",
                name="box with two inlets",
            ),
        },
        links=("box:in A - house:out", "box:in B - generator:out"),
        finds={"sources-joined": "stop"},
        why="Two sources in parallel without a change-over switch: back-feed into the house.",
        source="IEC 60364-5-55, 551.7",
    ),
    Rig(
        name="a 3 kVA generator with 4 kW of lamps",
        parts={
            "generator": part(
                "supply", "1-2 cee7-3 230V out breakerC16", name="generator, 3 kVA", power={"output_va": 3000}
            ),
            **several(2, "lamp", LAMP_2KW),
        },
        links=("lamp 1:in - generator:1", "lamp 2:in - generator:2"),
        finds={"source-overload": "stop"},
        why="4 kVA of 3 kVA, though each outlet carries 8.7 of 16 A.",
        source="ISO 8528-1",
    ),
    Rig(
        name="a UPS of 700 VA with 900 W behind it",
        parts={
            "wall": OUTLET_16A,
            "ups": part(
                "supply",
                "in c14 230V in; 1-4 c13 230V out",
                name="UPS, 700 VA",
                power={"output_va": 700, "efficiency": 0.9},
            ),
            **several(3, "device", supply(300)),
        },
        links=(("ups:in - wall:1", C13_SCHUKO), *((f"device {n}:in - ups:{n}", C13_C14) for n in (1, 2, 3))),
        finds={"source-overload": "stop"},
        why="3 x 300 W / 0.95 is 947 VA of 700 VA.",
        source="IEC 62040-3",
    ),
    Rig(
        name="12 V over thirty metres of thin cord",
        parts={
            "battery": part(
                "battery", "out xlr-4 12V 100W out", name="12 V battery", battery={"volts": 12, "amp_hours": 7}
            ),
            "camera": part("camera", "in xlr-4 11-17V 25W in", name="camera, 25 W"),
        },
        links=(("camera:in - battery:out", {**mains_lead("a xlr-4 plug; b xlr-4 socket", 30, 0.75)}),),
        finds={"dc-drop": "stop"},
        why="25 W at 12 V over 2 x 30 m of 0.75 mm2 leaves about 8.8 V; the camera needs 11 V.",
        source="Ohm's law; IEC 60228",
    ),
    Rig(
        name="a lead with a cracked shell in front of a heater",
        parts={
            "wall": OUTLET_16A,
            "strip": part("distro", "in c20 230V in; 1-2 c19 230V out", name="C20 strip", damage={"in": "shell"}),
            "heater": part("other", "in c20 230V in", name="heater", power={"max_w": 1500, "protection_class": "I"}),
        },
        links=(
            ("strip:in - wall:1", C19_SCHUKO),
            ("heater:in - strip:1", mains_lead("a c20 plug; b c19 plug", 1, 1.5, 16)),
        ),
        finds={"port-damaged": "stop"},
        why="A cracked enclosure on mains may leave live parts open to touch: withdraw and test.",
        source="IEC 60364-4-41, 410.3",
    ),
    Rig(
        name="an inlet fed by nothing, with outlets in use",
        parts={"wall": OUTLET_16A, "strip": STRIP, "device": supply(60), "fed": supply(60)},
        links=(("device:in - strip:1", C13_C14), ("fed:in - wall:1", C13_SCHUKO)),
        finds={"unfed": "stop"},
        why="The strip and what is fed by it have no way to a source although the rig has one.",
        source="common practice",
    ),
    Rig(
        name="a 2.5 A lead in front of a 1 kW load",
        parts={
            "wall": OUTLET_16A,
            "device": part(
                "other",
                "in c14 230V in",
                name="heater, 1 kW",
                power={"max_w": 1000, "power_factor": 1.0, "protection_class": "I"},
            ),
        },
        links=(("device:in - wall:1", mains_lead("wall cee7-7; device c13 plug", 2, 0.5, 2.5)),),
        finds={"coupler-overload": "stop"},
        also=frozenset({"unprotected-reduction"}),
        why="4.3 A through a lead rated 2.5 A.",
        source="IEC 60364-4-43, 433.1",
    ),
    Rig(
        name="a class I device on a North American outlet behind a class A device that leaks too much",
        parts={
            "wall": part("distro", "1-6 nema-5-15 120V out breaker15 rcd5", name="outlets behind one GFCI"),
            **several(6, "device", supply(60, leakage_ma=0.9)),
        },
        links=tuple(
            (f"device {n}:in - wall:{n}", mains_lead("wall nema-5-15 plug; device c13 plug", 2, 0.82))
            for n in range(1, 7)
        ),
        rules="north_america",
        finds={"leakage-high": "stop"},
        why="5.4 mA; a class A device trips between 4 and 6 mA.",
        source="UL 943, from memory",
    ),
)
