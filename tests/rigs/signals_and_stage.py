"""Lighting control, audio, video, heat, lifting, batteries and contents: sound rigs and planted errors."""

from tests.rigs.declare import Rig, lead, part, several

DMX = "a xlr-5 plug dmx; b xlr-5 socket dmx"
CONSOLE = part("console", "dmx xlr-5 dmx", name="lighting console")
FIXTURE = part("fixture", "in xlr-5 plug dmx; out xlr-5 socket dmx", name="fixture")
WARM_CASE = part(
    "case", "in c14 230V in", name="closed steel case", height_mm=250, width_mm=500, depth_mm=400, weight_kg=9
)

SOUND = (
    Rig(
        name="a console and two fixtures with a terminator",
        parts={
            "console": CONSOLE,
            **several(2, "fixture", FIXTURE),
            "end": part("tool", "in xlr-5 plug dmx", name="terminator, 120 ohm"),
        },
        links=(
            ("console:dmx - fixture 1:in", lead(DMX, length_m=30)),
            ("fixture 1:out - fixture 2:in", lead(DMX, length_m=10)),
            "fixture 2:out - end:in",
        ),
        why="40 m, two unit loads, terminated.",
        source="ANSI E1.11",
    ),
    Rig(
        name="sixty metres of SDI at 1.5 Gb/s on good coax",
        parts={
            "camera": part("camera", "sdi coax-75 video", name="camera, 1.5G-SDI"),
            "mixer": part("converter", "1-4 coax-75 video", name="mixer"),
        },
        links=(("camera:sdi - mixer:1", lead("a coax-75 plug; b coax-75 plug", length_m=60)),),
        why="Coax of 6 mm carries 1.5 Gb/s for about 100 m.",
        source="SMPTE ST 292-1; common practice",
    ),
    Rig(
        name="balanced microphone line of fifty metres",
        parts={
            "microphone": part("other", "out xlr-3 plug audio", name="microphone"),
            "desk": part("console", "in 1 xlr-3 socket audio", name="sound desk"),
        },
        links=(("microphone:out - desk:in 1", lead("a xlr-3 socket; b xlr-3 plug", length_m=50)),),
        why="A balanced line carries this without trouble.",
        source="common practice",
    ),
    Rig(
        name="one loudspeaker on a short thick lead",
        parts={
            "amplifier": part("other", "1 speaker-4 socket audio", name="amplifier"),
            **several(1, "loudspeaker", part("other", "in speaker-4 socket audio", name="loudspeaker")),
        },
        links=(
            ("amplifier:1 - loudspeaker 1:in", lead("a speaker-4 plug; b speaker-4 plug", length_m=10, area_mm2=2.5)),
        ),
        why="One cabinet on a short lead of 2.5 mm2.",
        source="IEC 60268-3; common practice",
    ),
    Rig(
        name="a steel case with 50 W in it",
        parts={
            "case": WARM_CASE,
            "computer": part(
                "computer",
                "in c14 100-240V in",
                name="computer",
                weight_kg=3,
                power={
                    "max_w": 50,
                    "typical_w": 40,
                    "power_factor": 0.95,
                    "protection_class": "I",
                    "leakage_ma": 0.5,
                    "inrush_a": 20,
                    "inrush_ms": 0.3,
                },
                cooling={"max_ambient_celsius": 60},
            ),
        },
        kit={"build": "steel", "ambient_celsius": 25},
        why="50 W through 0.65 m2 of steel at 5.5 W/m2K warm it by 14 K: 39 of 60 C.",
        source="IEC TR 60890",
    ),
    Rig(
        name="a case of fifteen kilograms",
        parts={
            "case": part("case", "", name="light case", weight_kg=7),
            "box": part("other", "", name="contents", weight_kg=8),
        },
        brief={"lifts": [{"name": "tailgate", "horizontal_cm": 30, "origin_cm": 50, "travel_cm": 40}]},
        why="23 x 0.83 x 0.93 x 0.93 is 16.5 kg for one person there; the case weighs 15.",
        source="NIOSH 94-110",
    ),
    Rig(
        name="a 33 kg case lifted by three",
        parts={
            "case": part("case", "", name="heavy case", weight_kg=15),
            "box": part("other", "", name="contents", weight_kg=18),
        },
        brief={"lifts": [{"name": "one step", "horizontal_cm": 25, "origin_cm": 75, "travel_cm": 25, "people": 3}]},
        why="Three persons may lift half of 3 x 23 kg, 34.5 kg, with good hands.",
        source="NIOSH 94-110; HSE L23",
    ),
    Rig(
        name="a battery of 90 Wh in the cabin",
        parts={
            "battery": part(
                "battery", "out xlr-4 14.4V 100W out", name="camera battery", battery={"volts": 14.4, "amp_hours": 6.2}
            )
        },
        brief={"transport": "air"},
        why="89 Wh; up to 100 Wh go into the cabin.",
        source="ICAO technical instructions",
    ),
)

PLANTED = (
    Rig(
        name="a line of lights without a terminator",
        parts={"console": CONSOLE, **several(3, "fixture", FIXTURE)},
        links=(
            ("console:dmx - fixture 1:in", lead(DMX, length_m=30)),
            ("fixture 1:out - fixture 2:in", lead(DMX, length_m=10)),
            ("fixture 2:out - fixture 3:in", lead(DMX, length_m=10)),
        ),
        finds={"dmx-unterminated": "caution"},
        why="The last out is open.",
        source="ANSI E1.11",
    ),
    Rig(
        name="forty fixtures on one line",
        parts={
            "console": CONSOLE,
            **several(40, "fixture", FIXTURE),
            "end": part("tool", "in xlr-5 plug dmx", name="terminator, 120 ohm"),
        },
        links=(
            "console:dmx - fixture 1:in",
            *(f"fixture {n}:out - fixture {n + 1}:in" for n in range(1, 40)),
            "fixture 40:out - end:in",
        ),
        finds={"dmx-unit-loads": "stop"},
        why="40 of 32 unit loads without a splitter.",
        source="ANSI E1.11; TIA-485-A",
    ),
    Rig(
        name="350 m of control cable",
        parts={
            "console": CONSOLE,
            "fixture": FIXTURE,
            "end": part("tool", "in xlr-5 plug dmx", name="terminator, 120 ohm"),
        },
        links=(("console:dmx - fixture:in", lead(DMX, length_m=350)), "fixture:out - end:in"),
        finds={"signal-run-long": "caution"},
        why="The recommended length is 300 m; beyond it a repeater.",
        source="ANSI E1.11, recommended practice",
    ),
    Rig(
        name="control on a three-pole connector beside audio",
        parts={
            "case": part(
                "case",
                "",
                name="stage panel",
                ports=[
                    {"name": "DMX", "connector": "xlr-3", "side": "socket", "carries": "dmx", "face": "outside"},
                    {"name": "MIC", "connector": "xlr-3", "side": "socket", "carries": "audio", "face": "outside"},
                ],
            )
        },
        finds={"dmx-on-3-pin": "stop"},
        why="Somebody will plug 48 V phantom power into the lighting line.",
        source="ANSI E1.11",
    ),
    Rig(
        name="600 slots on one universe",
        parts={"console": CONSOLE, "fixture": FIXTURE},
        links=("console:dmx - fixture:in",),
        brief={"universes": [{"number": 1, "slots": 600}]},
        finds={"universe-overfull": "stop"},
        also=frozenset({"dmx-unterminated"}),
        why="A universe has 512 slots.",
        source="ANSI E1.11",
    ),
    Rig(
        name="more universes than a node has ports",
        parts={
            "console": part("console", "lan 8p8c 1G", name="console"),
            "node": part("node", "lan 8p8c 100M; 1-2 xlr-5 dmx", name="node, two ports"),
        },
        links=("console:lan - node:lan",),
        brief={"universes": [{"number": n} for n in range(1, 5)]},
        finds={"universe-ports-short": "caution"},
        why="Four universes and two outputs.",
        source="common practice",
    ),
    Rig(
        name="12 Gb/s video over eighty metres",
        parts={
            "camera": part(
                "camera",
                name="camera, 12G-SDI",
                ports=[
                    {"name": "sdi", "connector": "coax-75", "side": "socket", "carries": "video", "speed_mbps": 12000}
                ],
            ),
            "mixer": part(
                "converter",
                name="mixer, 12G-SDI",
                ports=[
                    {"name": "1", "connector": "coax-75", "side": "socket", "carries": "video", "speed_mbps": 12000}
                ],
            ),
        },
        links=(("camera:sdi - mixer:1", lead("a coax-75 plug; b coax-75 plug", length_m=80)),),
        finds={"signal-run-long": "caution"},
        why="80 m of cable of 7 mm lose 37 dB at 6 GHz, thinner cable more; 36 of 40 dB are planned.",
        source="SMPTE ST 2082-1; common practice",
    ),
    Rig(
        name="HDMI over twenty-five metres of passive copper",
        parts={
            "player": part("computer", "out hdmi-a video", name="player"),
            "screen": part("other", "in hdmi-a video", name="screen"),
        },
        links=(("player:out - screen:in", lead("a hdmi-a plug; b hdmi-a plug", length_m=25)),),
        finds={"signal-run-long": "caution"},
        why="Passive copper carries it for about 5 to 10 m.",
        source="common practice",
    ),
    Rig(
        name="USB over twelve metres",
        parts={
            "computer": part("computer", "usb usb-a 480M", name="computer"),
            "interface": part("other", "usb usb-b 480M", name="audio interface"),
        },
        links=(("computer:usb - interface:usb", lead("a usb-a plug; b usb-b plug", length_m=12)),),
        finds={"signal-run-long": "caution"},
        why="USB 2.0 is specified for 5 m.",
        source="IEC 62680-2-1",
    ),
    Rig(
        name="an unbalanced line of forty metres",
        parts={
            "player": part("computer", "out phono audio", name="player"),
            "desk": part("console", "in phono audio", name="desk"),
        },
        links=(("player:out - desk:in", lead("a phono plug; b phono plug", length_m=40)),),
        finds={"signal-run-long": "caution"},
        why="Unbalanced lines pick up hum beyond some metres.",
        source="common practice",
    ),
    Rig(
        name="an amplifier output into a microphone input",
        parts={
            "amplifier": part("other", "out speaker-4 socket audio", name="amplifier"),
            "adapter": part(
                "adapter",
                name="speaker to XLR",
                ports=[
                    {"name": "a", "connector": "speaker-4", "side": "plug", "carries": "audio", "through": "b"},
                    {"name": "b", "connector": "xlr-3", "side": "plug", "carries": "audio", "through": "a"},
                ],
            ),
            "desk": part("console", "mic xlr-3 socket audio", name="desk"),
        },
        links=("amplifier:out - adapter:a", "adapter:b - desk:mic"),
        finds={"signal-level": "stop"},
        why="Tens of volts into a microphone input destroy it.",
        source="IEC 60268-3; common practice",
    ),
    Rig(
        name="video on 50 ohm coax",
        parts={
            "camera": part("camera", "sdi coax-75 video", name="camera"),
            "mixer": part("converter", "1 coax-75 video", name="mixer"),
            "join": part(
                "adapter",
                name="coupler, 50 ohm",
                ports=[
                    {"name": "a", "connector": "coax-50", "side": "socket", "carries": "video", "through": "b"},
                    {"name": "b", "connector": "coax-50", "side": "socket", "carries": "video", "through": "a"},
                ],
            ),
        },
        links=(
            ("camera:sdi - join:a", lead("a coax-75 plug; b coax-50 plug", length_m=5)),
            ("join:b - mixer:1", lead("a coax-50 plug; b coax-75 plug", length_m=5)),
        ),
        finds={"impedance-differs": "caution"},
        why="75 and 50 ohm in one run reflect 20 %.",
        source="IEC 61169-8",
    ),
    Rig(
        name="a foam-lined case with 50 W",
        parts={
            "case": part("case", "", name="foam-lined case", height_mm=250, width_mm=500, depth_mm=400),
            "computer": part(
                "computer",
                "in c14 100-240V in",
                name="computer",
                power={"max_w": 50, "power_factor": 0.95, "protection_class": "I"},
                cooling={"max_ambient_celsius": 45},
            ),
        },
        kit={"build": "foam-lined", "ambient_celsius": 30},
        finds={"case-hot": "stop"},
        why="50 W at k 1.5 and 0.65 m2 is 51 K above 30 C; 45 C are allowed.",
        source="IEC TR 60890; common practice for k",
    ),
    Rig(
        name="a fan too small for its case",
        parts={
            "case": part("case", "", name="vented case", height_mm=250, width_mm=500, depth_mm=400),
            "fan": part("fan", "in dc-5.5x2.1 plug 12V 3W in", name="fan", cooling={"fan_m3h": 9}),
            "computer": part(
                "computer",
                "in c14 100-240V in",
                name="computer",
                power={"max_w": 150, "power_factor": 0.95, "protection_class": "I"},
                cooling={"max_ambient_celsius": 45},
            ),
        },
        kit={"build": "steel", "ambient_celsius": 30},
        finds={"fan-short": "caution"},
        also=frozenset({"case-hot", "fan-dead", "unfed"}),
        why="150 W and 15 K need 31 m3/h; 4.5 arrive of 9 free-air.",
        source="heat balance",
    ),
    Rig(
        name="a 130 kg case and one person",
        parts={
            "case": part("case", "", name="heavy case", weight_kg=60),
            "box": part("other", "", name="contents", weight_kg=70),
        },
        brief={"lifts": [{"name": "stairs", "horizontal_cm": 40, "origin_cm": 30, "travel_cm": 60, "people": 1}]},
        finds={"too-heavy": "caution"},
        why="One person may lift about 14 kg there.",
        source="NIOSH 94-110",
    ),
    Rig(
        name="a case of 64 kg without a word on lifts",
        parts={
            "case": part("case", "", name="heavy case", weight_kg=30),
            "box": part("other", "", name="contents", weight_kg=34),
        },
        finds={"too-heavy": "note"},
        why="Above what one person may lift with assumed hands; says how many persons.",
        source="NIOSH 94-110; HSE L23",
    ),
    Rig(
        name="a battery of 200 Wh by air",
        parts={
            "battery": part(
                "battery", "out xlr-4 14.4V 100W out", name="block battery", battery={"volts": 14.4, "amp_hours": 14}
            )
        },
        brief={"transport": "air"},
        finds={"battery-transport": "stop"},
        why="202 Wh are above the 160 Wh that an airline may allow.",
        source="ICAO technical instructions",
    ),
    Rig(
        name="a battery of 140 Wh by air",
        parts={
            "battery": part(
                "battery", "out xlr-4 14.4V 100W out", name="large battery", battery={"volts": 14.4, "amp_hours": 9.8}
            )
        },
        brief={"transport": "air"},
        finds={"battery-transport": "caution"},
        why="141 Wh need the approval of the airline.",
        source="ICAO technical instructions",
    ),
    Rig(
        name="a required position without a unit",
        parts={
            "case": part("case", "", name="case"),
            "switch A": part("switch", "1-8 8p8c 1G", name="switch", empty=True),
        },
        finds={"position-empty": "stop"},
        why="Nothing is packed where something is needed.",
        source="common practice",
    ),
)
