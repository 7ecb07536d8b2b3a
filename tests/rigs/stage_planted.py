"""Everyday errors with glass, picture, sound, light, heat and carriage, each planted into an otherwise sound rig."""

from tests.rigs.backbone_sound import CAGED, CAGED_1G
from tests.rigs.declare import Rig, lead, part, several
from tests.rigs.gear import at, coax, glass, module, speaker_lead
from tests.rigs.stage_sound import AMPLIFIER, BOX, CABINET, DMX, FIXTURE, TERMINATOR, line_of, player

CONSOLE = part("console", "dmx xlr-5", name="lighting console")
FIBRE_PORT = part("switch", "1-8 8p8c 1G; f lc-duplex 10G", name="switch with 10G fibre", network={"managed": True})


def caged(one: object, other: object, between: object, cage: object = CAGED) -> dict[str, object]:
    """Return the parts and links of two cages with a module in each and glass between them."""
    return {
        "parts": {**several(2, "switch", cage), "module 1": one, "module 2": other},
        "links": (
            "switch 1:f - module 1:host",
            ("module 1:line - module 2:line", between),
            "module 2:host - switch 2:f",
        ),
    }


GLASS = (
    Rig(
        name="a short-range module against a long-range one",
        **caged(module("10GBASE-SR"), module("10GBASE-LR"), glass(50, "OM3")),
        finds={"fibre-type-mismatch": "stop"},
        why="One sends 850 nm, the other 1310: neither hears the other.",
        source="IEEE 802.3, clause 52",
    ),
    Rig(
        name="long-range modules on multimode glass",
        **caged(module("10GBASE-LR"), module("10GBASE-LR"), glass(50, "OM3")),
        finds={"fibre-type-mismatch": "stop"},
        why="10GBASE-LR is for single-mode; on OM3 the standard has nothing for it.",
        source="IEEE 802.3, clause 52",
    ),
    Rig(
        name="two halves alike on one fibre",
        **caged(
            *[module("1000BASE-BX10", "lc-simplex", wavelength_nm=1310, receives_nm=1490)] * 2,
            glass(200, "OS2", ("lc-simplex", "lc-simplex")),
            CAGED_1G,
        ),
        finds={"fibre-type-mismatch": "stop"},
        why="Both send 1310 and wait for 1490 nm.",
        source="IEEE 802.3, clause 58",
    ),
    Rig(
        name="an extended-range module against a long-range one",
        **caged(module("10GBASE-ER"), module("10GBASE-LR"), glass(500, "OS2")),
        finds={"fibre-type-mismatch": "caution"},
        why="1550 against 1310 nm: receivers hear both, and the strong one may blind the other.",
        source="IEEE 802.3, clause 52",
    ),
    Rig(
        name="a green plug in a blue socket",
        parts=several(2, "switch", FIBRE_PORT),
        links=(("switch 1:f - switch 2:f", glass(20, "OS2", ("lc-duplex-apc", "lc-duplex"))),),
        finds={"connector-mismatch": "stop"},
        why="An angled end on a flat one leaves a gap: most of the light is lost, both ends are scratched.",
        source="IEC 61754-20; IEC 61755-3",
    ),
    Rig(
        name="one simplex cord between two-way optics",
        parts=several(2, "switch", FIBRE_PORT),
        links=(("switch 1:f - switch 2:f", glass(20, "OM3", ("lc-simplex", "lc-simplex"))),),
        finds={"fibres-short": "caution"},
        why="One fibre sends, nothing comes back.",
        source="IEEE 802.3, clause 52",
    ),
    Rig(
        name="an old orange patch in an aqua run",
        parts={
            **several(2, "switch", FIBRE_PORT),
            "case": part("case", "Fibre 1 lc-duplex outside through lc-duplex", name="fibre panel"),
        },
        links=(("switch 1:f - case:Fibre 1 rear", glass(2, "OM1")), ("case:Fibre 1 - switch 2:f", glass(25, "OM4"))),
        finds={"fibre-type-mismatch": "caution"},
        why="62.5 um into 50 um loses light at the joint.",
        source="IEEE 802.3; ANSI/TIA-568",
    ),
    Rig(
        name="a hundred gigabit over 120 m of OM4",
        parts=several(2, "core", part("switch", "1 mpo-12 100G", name="core switch, 100G", network={"managed": True})),
        links=(("core 1:1 - core 2:1", glass(120, "OM4", ("mpo-12", "mpo-12"))),),
        finds={"fibre-too-long": "stop"},
        why="100GBASE-SR4 reaches 100 m on OM4.",
        source="IEEE 802.3, clause 95",
    ),
    Rig(
        name="lenses on both ends of three drums",
        parts={
            **several(2, "switch", FIBRE_PORT),
            "case": part("case", "Stage 1-2 expanded-beam-2 outside through lc-duplex", name="lens panel"),
            **several(
                3,
                "drum",
                part(
                    "drum",
                    "a expanded-beam-2 plug; b expanded-beam-2 plug",
                    name="lens drum, 50 m",
                    cable={"length_m": 50, "category": "OM3"},
                ),
            ),
        },
        links=(
            ("switch 1:f - case:Stage 1 rear", glass(1, "OM3")),
            "case:Stage 1 - drum 1:a",
            "drum 1:b - drum 2:a",
            "drum 2:b - drum 3:a",
            "drum 3:b - case:Stage 2",
            ("case:Stage 2 rear - switch 2:f", glass(1, "OM3")),
        ),
        finds={"fibre-too-long": "caution"},
        why="Four pairs of lenses and two couplers may lose 8 dB; 10GBASE-SR allows 2.6 on OM3.",
        source="IEEE 802.3, clause 52; common practice: 1.5 dB a pair of lenses",
    ),
)

SIGNALS = (
    Rig(
        name="3 Gb/s over a hundred and twenty metres",
        parts={
            "camera": part("camera", "sdi bnc 3G", name="camera, 3G"),
            "mixer": part("converter", "1-4 bnc 3G", name="mixer"),
        },
        links=(("camera:sdi - mixer:1", coax(120, 18)),),
        finds={"signal-run-long": "caution"},
        why="120 m of 18 AWG lose 28 dB at 1.5 GHz; a receiver makes up for 20.",
        source="SMPTE ST 424",
    ),
    Rig(
        name="a thin 12 Gb/s jumper of fifty metres",
        parts={
            "camera": part("camera", "sdi bnc 12G", name="camera, 12G"),
            "wall": part("other", "in bnc 12G", name="processor"),
        },
        links=(("camera:sdi - wall:in", coax(50, 23)),),
        finds={"signal-run-long": "caution"},
        why="50 m of 23 AWG lose 42 dB at 6 GHz of 40 dB: thick cable would do it.",
        source="SMPTE ST 2082-1",
    ),
    Rig(
        name="eighteen gigabit of HDMI over eight metres",
        parts={
            "player": part("computer", "out hdmi 18G", name="player"),
            "screen": part("other", "in hdmi 18G", name="screen"),
        },
        links=(("player:out - screen:in", lead("a hdmi-a plug; b hdmi-a plug", length_m=8)),),
        finds={"signal-run-long": "caution"},
        why="Passive copper carries 18 Gb/s for about 5 m.",
        source="common practice",
    ),
    Rig(
        name="a computer's headphone socket thirty metres from the desk",
        parts={
            "player": part("computer", "out jack-3.5", name="player"),
            "desk": part("console", "in jack-3.5", name="desk"),
        },
        links=(("player:out - desk:in", lead("a jack-3.5 plug; b jack-3.5 plug", length_m=30)),),
        finds={"signal-run-long": "caution"},
        why="An unbalanced line picks up hum beyond some ten metres.",
        source="common practice",
    ),
    Rig(
        name="three loudspeakers on a four-ohm output",
        parts={"amplifier": AMPLIFIER, **several(3, "loudspeaker", CABINET)},
        links=(
            ("amplifier:1 - loudspeaker 1:in", speaker_lead(10, 4)),
            *((f"loudspeaker {n}:link - loudspeaker {n + 1}:in", speaker_lead(3, 4)) for n in (1, 2)),
        ),
        finds={"speaker-load": "stop"},
        why="Three times 8 ohm side by side are 2.7 of at least 4 ohm: the amplifier shuts down or burns.",
        source="IEC 60268-3",
    ),
    Rig(
        name="sixty metres of bell wire to a subwoofer",
        parts={
            "amplifier": AMPLIFIER,
            "sub": part("other", "in speaker-4", name="subwoofer, 4 ohm", sound={"impedance_ohm": 4}),
        },
        links=(("amplifier:1 - sub:in", speaker_lead(60, 1.5)),),
        finds={"speaker-lead-thin": "caution"},
        why="1.38 ohm before 4 ohm: 2.6 dB are lost, and the damping factor is 3.",
        source="common practice: 1 dB",
    ),
    Rig(
        name="lighting control plugged into a microphone input",
        parts={
            "console": part("console", "dmx xlr-3 dmx", name="small console"),
            "desk": part("console", "mic xlr-3", name="desk"),
        },
        links=(("console:dmx - desk:mic", lead("a xlr-3 plug dmx; b xlr-3 plug dmx", length_m=10)),),
        finds={"carries-mismatch": "caution"},
        why="Three-pole plugs fit: one is control, the other sound that may carry 48 V.",
        source="ANSI E1.11",
    ),
    Rig(
        name="thirty-three fixtures on one line",
        parts={"console": CONSOLE, **several(33, "fixture", FIXTURE), "end": TERMINATOR},
        links=line_of(1, 33, "console:dmx", "end"),
        finds={"dmx-unit-loads": "stop"},
        why="33 of 32 unit loads, without a splitter.",
        source="ANSI E1.11; TIA-485-A",
    ),
    Rig(
        name="the second line of a splitter without a terminator",
        parts={
            "console": CONSOLE,
            "splitter": part("other", "in xlr-5 plug dmx; out 1-2 xlr-5", name="splitter, two outputs"),
            **several(6, "fixture", FIXTURE),
            "end": TERMINATOR,
        },
        links=(
            ("console:dmx - splitter:in", lead(DMX, length_m=10)),
            *line_of(1, 3, "splitter:out 1", "end"),
            *line_of(4, 6, "splitter:out 2", "end")[:-1],
        ),
        finds={"dmx-unterminated": "caution"},
        why="The echo of the open end makes the last fixtures flicker.",
        source="ANSI E1.11",
    ),
    Rig(
        name="520 slots on one universe",
        parts={
            "console": part("console", "lan 8p8c 1G", name="console"),
            "node": part("node", "lan 8p8c 100M; 1-2 xlr-5", name="node, two outputs"),
        },
        links=("console:lan - node:lan",),
        brief={"universes": [{"number": 1, "slots": 520}]},
        finds={"universe-overfull": "stop"},
        why="A universe has 512 slots: the last fixture hears nothing.",
        source="ANSI E1.11",
    ),
    Rig(
        name="eight universes for two nodes of two outputs",
        parts={
            "console": part("console", "lan 8p8c 1G", name="console"),
            "switch A": part("switch", "1-8 8p8c 1G", name="switch", network={"managed": False}),
            **several(2, "node", part("node", "lan 8p8c 100M; 1-2 xlr-5", name="node, two outputs")),
        },
        links=("console:lan - switch A:1", "node 1:lan - switch A:2", "node 2:lan - switch A:3"),
        brief={"universes": [{"number": n} for n in range(1, 9)]},
        finds={"universe-ports-short": "caution"},
        why="Four outputs for eight universes.",
        source="common practice",
    ),
    Rig(
        name="a player's stream on a hundred-megabit port",
        parts={
            "player": part("computer", "lan 8p8c 100M", name="player"),
            "wall": part("other", "lan 8p8c 1G", name="processor"),
            "switch A": part("switch", "1-8 8p8c 1G", name="switch", network={"managed": False}),
        },
        links=("player:lan - switch A:1", "wall:lan - switch A:2"),
        brief={"streams": [{"name": "picture", "mbps": 90, "from": at("player", "lan"), "to": at("wall", "lan")}]},
        finds={"trunk-overfull": "caution"},
        why="90 of the 75 Mb/s that are planned.",
        source="common practice: three quarters of a link",
    ),
)

HEAT_AND_CARRIAGE = (
    Rig(
        name="an aluminium case in a hall where no air moves",
        parts={"case": part("case", "", name="aluminium case", **BOX), "player": player(90)},
        kit={"build": "aluminium", "ambient_celsius": 32},
        finds={"case-hot": "caution"},
        why="90 W through 1.13 m2 are 14.5 K in still air, 6.6 in moving air: 46.5 or 38.6 of 45 C.",
        source="IEC TR 60890; ISO 6946",
    ),
    Rig(
        name="a steel case in the sun of an open-air stage",
        parts={"case": part("case", "", name="steel case", **BOX), "player": player(60)},
        kit={"build": "steel", "ambient_celsius": 25},
        brief={"stands": "sun"},
        finds={"case-hot": "caution"},
        why="9.7 K from inside and up to 39 K from the sun on a black lid: 73 of 45 C; white and veiled 41.",
        source="IEC TR 60890; IEC 60068-2-5",
    ),
    Rig(
        name="a foam-lined case with a powered switch",
        parts={
            "case": part("case", "", name="foam case", width_mm=460, depth_mm=360, height_mm=180),
            "switch A": part(
                "switch",
                "1-4 8p8c 1G class4 out; 5-8 8p8c 1G; in c14 100-240V",
                name="switch, 65 W",
                power={"max_w": 85, "power_factor": 0.95, "protection_class": "I", "leakage_ma": 0.5},
                poe={"budget_w": 65, "allotment": "class"},
                cooling={"max_ambient_celsius": 45},
            ),
        },
        kit={"build": "foam-lined", "ambient_celsius": 25},
        finds={"case-hot": "stop"},
        why="20 W stay inside: 29 K through 0.46 m2 of foam: 54 of 45 C.",
        source="IEC TR 60890; common practice for foam",
    ),
    Rig(
        name="one fan between a rack and the heat",
        parts={
            "case": part("case", "", name="rack case", **BOX),
            **several(3, "player", player(100)),
            "fan": part(
                "fan",
                "in c14 230V 10W",
                name="fan, 120 m3/h",
                power={"max_w": 10, "protection_class": "I", "leakage_ma": 0.2},
                cooling={"fan_m3h": 120, "max_ambient_celsius": 60},
            ),
        },
        kit={"build": "steel", "ambient_celsius": 20},
        finds={"fan-dead": "caution"},
        why="With it 16 K, without it 50: 70 of 45 C when the fan stops.",
        source="heat balance, IEC TR 60890",
    ),
    Rig(
        name="a sixty-kilogram rack at the tail lift that is not there",
        parts={
            "case": part("case", "", name="rack", weight_kg=25),
            "box": part("other", "", name="contents", weight_kg=35),
        },
        brief={
            "lifts": [{"name": "bed of the van", "horizontal_cm": 35, "origin_cm": 40, "travel_cm": 50, "people": 2}]
        },
        finds={"too-heavy": "caution"},
        why="One may lift 13.4 kg there, two 17.9: it takes a ramp, or more hands than fit around it.",
        source="NIOSH 94-110; HSE L23",
    ),
    Rig(
        name="a monitor lifted over a rail at arm's length",
        parts={
            "case": part("case", "", name="case of a monitor", weight_kg=5),
            "monitor": part("other", "", name="monitor", weight_kg=14),
        },
        brief={"lifts": [{"name": "rail", "horizontal_cm": 55, "origin_cm": 100, "travel_cm": 40}]},
        finds={"too-heavy": "caution"},
        why="25/55 of 23 kg, less for height and travel: 9 of 19 kg.",
        source="NIOSH 94-110",
    ),
    Rig(
        name="two block batteries of 150 Wh on the plane",
        parts=several(
            2,
            "battery",
            part(
                "battery",
                "out xlr-4 14.4V 150W out",
                name="block battery, 150 Wh",
                battery={"volts": 14.4, "amp_hours": 10.4},
            ),
        ),
        brief={"transport": "air"},
        finds={"battery-transport": "caution"},
        why="150 Wh: between 100 and 160 the airline has to agree.",
        source="ICAO technical instructions, part 8",
    ),
    Rig(
        name="a power station of 500 Wh on the plane",
        parts={
            "station": part(
                "battery", "out dc 12V 120W out", name="power station", battery={"volts": 12, "amp_hours": 42}
            )
        },
        brief={"transport": "air"},
        finds={"battery-transport": "stop"},
        why="504 Wh are above the 160 that may fly as baggage.",
        source="ICAO technical instructions, part 8",
    ),
)

RIGS = (*GLASS, *SIGNALS, *HEAT_AND_CARRIAGE)
