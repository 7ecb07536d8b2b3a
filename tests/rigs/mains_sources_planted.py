"""Everyday errors with generators, inverters and second supplies, and with what can be touched."""

from tests.rigs.declare import Rig, part, several
from tests.rigs.gear import C13_C14, C13_SCHUKO, OUTLET_13A, OUTLET_16A, STRIP, load, mains_lead
from tests.rigs.mains_stage_sound import BOX_32, FEED_32, LEAD_32_3, PAR, RED_32

BLUE_32 = "iec60309-32-2pe-230"
HEATER = load("fan heater, 3 kW", 3000, kind="other")
FLAT = mains_lead("a cee7-16; b c13 plug", 2, 0.75, 2.5)
AMPLIFIER = load("amplifier, 200 W", 200, "c14 220-240V", "other")
CAMS = ("l1", "l2", "l3", "n", "e")

RIGS = (
    Rig(
        name="3 kW on one line of a 6 kVA three-phase generator",
        parts={
            "generator": part(
                "supply",
                "1 cee7-3 230V out breakerC16 L1; 2 cee7-3 230V out breakerC16 L2; 3 cee7-3 230V out breakerC16 L3",
                name="generator, 6 kVA, three-phase",
                power={"output_va": 6000},
            ),
            "heater": HEATER,
        },
        links=("heater:in - generator:1",),
        finds={"source-overload": "stop"},
        why="Each line gives a third, 2 kVA; 3 kVA are drawn from L1, though 3 of 6 kVA in all.",
        source="ISO 8528-1; common practice",
    ),
    Rig(
        name="residual current devices behind a generator without a bond",
        parts={
            "generator": part(
                "supply",
                f"out {RED_32} 400V out breakerC32",
                name="generator, 20 kVA, floating",
                power={"output_va": 20_000, "neutral_bonded": False},
            ),
            "box": BOX_32,
            **several(3, "lamp", PAR),
        },
        links=(("box:in - generator:out", LEAD_32_3), *(f"lamp {n}:in - box:{2 * n}" for n in (1, 2, 3))),
        finds={"neutral-unbonded": "caution"},
        also=frozenset({"loop-too-long"}),
        why="A floating neutral drives no current through a fault to earth: the 30 mA devices never trip.",
        source="IEC 60364-5-55, 551.4; BS 7430 from memory",
    ),
    Rig(
        name="two generators on one box",
        parts={
            **several(
                2,
                "generator",
                part(
                    "supply", f"out {BLUE_32} 230V out breakerC32", name="generator, 8 kVA", power={"output_va": 8000}
                ),
            ),
            "box": part(
                "distro", f"in A {BLUE_32} 230V in; in B {BLUE_32} 230V in; 1-4 cee7-3 230V out breakerC16", name="box"
            ),
            "lamp": PAR,
        },
        links=("box:in A - generator 1:out", "box:in B - generator 2:out", "lamp:in - box:1"),
        finds={"sources-joined": "stop"},
        why="Two generators out of step across one busbar: nothing synchronises them.",
        source="IEC 60364-5-55, 551.7",
    ),
    Rig(
        name="a generator that feeds a house outlet by a lead with two plugs",
        parts={
            "generator": part(
                "supply", "1 cee7-3 230V out breakerC16", name="generator, 3 kVA", power={"output_va": 3000}
            ),
            "wall": OUTLET_16A,
        },
        links=(("generator:1 - wall:1", mains_lead("a cee7-7; b cee7-7", 10, 1.5, 16)),),
        finds={"sources-joined": "stop"},
        why="Back-feed into the house, and the free plug has live pins.",
        source="IEC 60364-5-55, 551.7; IEC 60364-4-41",
    ),
    Rig(
        name="a dimmer whose inlet nobody linked",
        parts={
            "house": FEED_32,
            "box": BOX_32,
            "dimmer": part("distro", f"in {RED_32} 400V in; 1-6 cee7-3 230V out breakerC10", name="dimmer"),
            **several(2, "lamp", PAR),
        },
        links=(("box:in - house:out", LEAD_32_3), "lamp 1:in - box:1", "lamp 2:in - dimmer:1"),
        finds={"unfed": "stop"},
        why="The dimmer feeds a lamp and has no way to the supply that the rig has.",
        source="common practice",
    ),
    Rig(
        name="both supplies of two servers lean on strips of 10 A",
        parts={
            "wall A": OUTLET_16A,
            "wall B": OUTLET_16A,
            "strip A": STRIP,
            "strip B": STRIP,
            **several(
                2,
                "server",
                part(
                    "computer",
                    "A c14 100-240V in; B c14 100-240V in",
                    name="server, two supplies",
                    power={"max_w": 1300, "power_factor": 0.98, "protection_class": "I", "leakage_ma": 1.5},
                ),
            ),
        },
        links=(
            ("strip A:in - wall A:1", C13_SCHUKO),
            ("strip B:in - wall B:1", C13_SCHUKO),
            *((f"server {n}:{side} - strip {side}:{n}", C13_C14) for n in (1, 2) for side in ("A", "B")),
        ),
        finds={"coupler-overload": "stop"},
        why="When one side is lost the other carries both servers, 11.5 A of 10 A.",
        source="IEC 60320-1; common practice",
    ),
    Rig(
        name="a coffee machine on an inverter of 1 kVA",
        parts={
            "inverter": part("supply", "1 cee7-3 230V out", name="inverter, 1 kVA", power={"output_va": 1000}),
            "coffee": load("coffee machine, 1.2 kW", 1200, kind="other"),
        },
        links=("coffee:in - inverter:1",),
        finds={"source-overload": "stop"},
        why="1.2 of 1.0 kVA.",
        source="IEC 62040-3; common practice",
    ),
    Rig(
        name="three amplifiers on flat two-pole leads",
        parts={
            "wall": part("distro", "1-3 cee7-3 230V out breakerC16 rcd30", name="three outlets"),
            **several(3, "amplifier", AMPLIFIER),
        },
        links=tuple((f"amplifier {n}:in - wall:{n}", FLAT) for n in (1, 2, 3)),
        finds={"earth-broken": "stop"},
        why="Class I needs the earth that a CEE 7/16 plug does not have.",
        source="IEC 60364-4-41, 411.3.1.1",
    ),
    Rig(
        name="a strip with a C8 inlet and an amplifier on it",
        parts={
            "wall": OUTLET_16A,
            "strip": part("distro", "in c8 230V in; 1-2 c13 230V out", name="home-made strip"),
            "amplifier": AMPLIFIER,
        },
        links=(
            ("strip:in - wall:1", mains_lead("a cee7-16; b c7 plug", 2, 0.75, 2.5)),
            ("amplifier:in - strip:1", C13_C14),
        ),
        finds={"earth-broken": "stop"},
        why="C7 and C8 have no earth contact: the earthed outlets of the strip promise what is not there.",
        source="IEC 60320-1; IEC 60364-4-41, 411.3.1.1",
    ),
    Rig(
        name="a device entered as class I with a C8 inlet",
        parts={"wall": OUTLET_16A, "player": load("player", 30, "c8 100-240V", "other")},
        links=(("player:in - wall:1", mains_lead("a cee7-16; b c7 plug", 2, 0.75, 2.5)),),
        finds={"earth-broken": "stop"},
        why="Either the sheet is wrong or the device has no earth: C8 is for class II.",
        source="IEC 60320-1; IEC 61140",
    ),
    Rig(
        name="a travel adapter of two poles in front of an amplifier",
        parts={
            "wall": OUTLET_16A,
            "adapter": part(
                "adapter",
                ports=[
                    {"name": "plug", "connector": "cee7-16", "side": "plug", "carries": "mains", "through": "socket"},
                    {"name": "socket", "connector": "bs1363", "side": "socket", "carries": "mains", "through": "plug"},
                ],
                name="travel adapter",
            ),
            "amplifier": AMPLIFIER,
        },
        links=(
            "adapter:plug - wall:1",
            ("amplifier:in - adapter:socket", mains_lead("a bs1363 plug; b c13 plug", 2, 1.0, 10)),
        ),
        finds={"earth-broken": "stop"},
        also=frozenset({"unprotected-reduction"}),
        why="The earthed plug goes into an adapter that leads on line and neutral only.",
        source="IEC 60364-4-41, 411.3.1.1",
    ),
    Rig(
        name="a yellow site lamp on a 230 V outlet by a home-made adapter",
        parts={
            "wall": OUTLET_16A,
            "adapter": part("adapter", "in cee7-7 230V in; out iec60309-16-2pe-110 230V out", name="home-made adapter"),
            "lamp": load("site lamp, 110 V", 500, "iec60309-16-2pe-110 110V"),
        },
        links=("adapter:in - wall:1", "lamp:in - adapter:out"),
        finds={"mains-voltage": "stop"},
        why="230 V on a lamp for 110 V: the colour is all that was kept.",
        source="IEC 60038; IEC 60309-2",
    ),
    Rig(
        name="a C13 lead for an amplifier with a C20 inlet",
        parts={"wall": OUTLET_16A, "amplifier": load("amplifier, 2 kW", 2000, "c20 220-240V", "other")},
        links=(("amplifier:in - wall:1", C13_SCHUKO),),
        finds={"connector-mismatch": "stop"},
        why="A C13 does not enter a C20: so that 16 A never go through a lead of 10 A.",
        source="IEC 60320-1",
    ),
    Rig(
        name="a blue plug of 16 A for a socket of 32 A",
        parts={
            "house": part("distro", f"out {BLUE_32} 230V out breakerC32 rcd30", name="house 32 A"),
            "lamp": load("lamp, 2 kW", 2000, "iec60309-16-2pe-230 230V"),
        },
        links=("lamp:in - house:out",),
        finds={"connector-mismatch": "stop"},
        also=frozenset({"unprotected-reduction"}),
        why="The sizes of IEC 60309 do not enter each other.",
        source="IEC 60309-2",
    ),
    Rig(
        name="a distro whose single-pole inlets are on the outside",
        parts={
            "case": part("case", name="rack"),
            "distro": part(
                "distro",
                "; ".join(f"{pole} single-pole-keyed-{pole} plug 230V in outside" for pole in CAMS)
                + "; 1-3 cee7-3 230V out breakerC16 rcd30",
                name="single-pole distro",
            ),
            "lamp": PAR,
        },
        links=("lamp:in - distro:1",),
        finds={"connect-order": "caution"},
        also=frozenset({"unbreakable-coupler"}),
        why="Five single poles have to be made dead, earth first and neutral second, and parted the other way round.",
        source="common practice",
    ),
    Rig(
        name="six drivers that leak 3.5 mA each behind one device",
        parts={
            "wall": OUTLET_16A,
            "strip": STRIP,
            **several(6, "driver", load("LED driver", 100, "c14 100-240V", "other", leakage_ma=3.5, power_factor=0.95)),
        },
        links=(("strip:in - wall:1", C13_SCHUKO), *((f"driver {n}:in - strip:{n}", C13_C14) for n in range(1, 7))),
        finds={"leakage-high": "stop"},
        why="21 mA; a 30 mA device may trip from 15 mA on.",
        source="IEC 60364-5-53, 531.3.2; IEC 61008-1",
    ),
    Rig(
        name="twelve LED tiles switched on at once behind B16",
        parts={
            "wall": part("distro", "1 cee7-3 230V out breakerB16 rcd30", name="16 A, curve B"),
            "strip": part("distro", "in cee7-7 230V in; 1-12 c13 230V out", name="strip of twelve"),
            **several(
                12,
                "tile",
                load("LED tile", 120, "c14 100-240V", power_factor=0.95, leakage_ma=0.5, inrush_a=40, inrush_ms=0.3),
            ),
        },
        links=("strip:in - wall:1", *((f"tile {n}:in - strip:{n}", C13_C14) for n in range(1, 13))),
        finds={"inrush-group": "caution"},
        why="480 A peak; B16 holds 3 x 16 x 1.414 = 68 A, one tile at a time.",
        source="IEC 60898-1",
    ),
    Rig(
        name="a British ring outlet with a lead of 0.5 mm2 and no fuse known",
        parts={"wall": OUTLET_13A, "heater": load("heater, 1.5 kW", 1500, "c14 230V", "other")},
        links=(("heater:in - wall:1", mains_lead("a bs1363 plug; b c13 plug", 2, 0.5)),),
        finds={"coupler-overload": "stop"},
        why="6.5 A through a cord that carries 3 A.",
        source="BS 7671 table 4F3A, from memory",
    ),
)
