"""Sound rigs of picture, sound, light, heat and carriage, as the people who rig a stage would build them."""

from tests.rigs.declare import Rig, lead, part, several
from tests.rigs.gear import C13_SCHUKO, OUTLET_16A, coax, copper, speaker_lead

DMX = "a xlr-5 plug dmx; b xlr-5 socket dmx"
FIXTURE = part("fixture", "in xlr-5 plug dmx through out xlr-5", name="fixture")
TERMINATOR = part("tool", "in xlr-5 plug dmx", name="terminator, 120 ohm")
AMPLIFIER = part("other", "1-2 speaker-4", name="amplifier, two outputs from 4 ohm", sound={"least_ohm": 4})
CABINET = part("other", "in speaker-4 through link speaker-4", name="loudspeaker, 8 ohm", sound={"impedance_ohm": 8})
BOX = {"width_mm": 560, "depth_mm": 500, "height_mm": 400}


def player(max_w: float, bears_c: float = 45) -> object:
    """Return a mains-fed device that works in a case."""
    return part(
        "computer",
        "in c14 100-240V in",
        name=f"player, {max_w:g} W",
        power={"max_w": max_w, "power_factor": 0.95, "protection_class": "I", "leakage_ma": 0.5},
        cooling={"max_ambient_celsius": bears_c},
    )


def line_of(first: int, last: int, source: str, terminator: str) -> tuple[object, ...]:
    """Return the links of a line of fixtures from an output to its terminator."""
    return (
        (f"{source} - fixture {first}:in", lead(DMX, length_m=25)),
        *((f"fixture {n}:out - fixture {n + 1}:in", lead(DMX, length_m=3)) for n in range(first, last)),
        f"fixture {last}:out - {terminator}:in",
    )


RIGS = (
    Rig(
        name="four pictures at 3 Gb/s through a panel",
        parts={
            **several(4, "camera", part("camera", "sdi bnc 3G", name="camera, 3G")),
            "mixer": part("converter", "1-8 bnc 3G", name="vision mixer"),
            "case": part("case", "Picture 1-4 bnc outside through bnc", name="picture panel"),
        },
        links=tuple(
            link
            for n in range(1, 5)
            for link in (
                (f"camera {n}:sdi - case:Picture {n}", coax(50, 18)),
                (f"case:Picture {n} rear - mixer:{n}", coax(1.5, 23)),
            )
        ),
        why="50 m of 18 AWG lose 11.6 dB at 1.5 GHz, 1.5 m of thin coax 0.6: 12.2 of 18 dB that are planned.",
        source="SMPTE ST 424; common practice: nine tenths of 20 dB",
    ),
    Rig(
        name="a 12 Gb/s picture over forty metres of thick coax",
        parts={
            "camera": part("camera", "sdi bnc 12G", name="camera, 12G"),
            "wall": part("other", "in bnc 12G", name="LED processor"),
        },
        links=(("camera:sdi - wall:in", coax(40, 18)),),
        why="18.6 dB at 6 GHz of 36 dB that are planned.",
        source="SMPTE ST 2082-1; common practice",
    ),
    Rig(
        name="two loudspeakers on each output of an amplifier",
        parts={"amplifier": AMPLIFIER, **several(4, "loudspeaker", CABINET)},
        links=(
            ("amplifier:1 - loudspeaker 1:in", speaker_lead(15, 4)),
            ("loudspeaker 1:link - loudspeaker 2:in", speaker_lead(3, 2.5)),
            ("amplifier:2 - loudspeaker 3:in", speaker_lead(15, 4)),
            ("loudspeaker 3:link - loudspeaker 4:in", speaker_lead(3, 2.5)),
        ),
        why="8 and 8 ohm are 4 ohm, the least that it drives; 0.13 ohm of lead before them take 0.3 dB.",
        source="IEC 60268-3; common practice: 1 dB",
    ),
    Rig(
        name="forty fixtures behind a splitter",
        parts={
            "console": part("console", "dmx xlr-5", name="lighting console"),
            "splitter": part("other", "in xlr-5 plug dmx; out 1-2 xlr-5", name="splitter, two outputs"),
            **several(40, "fixture", FIXTURE),
            "end 1": TERMINATOR,
            "end 2": TERMINATOR,
        },
        links=(
            ("console:dmx - splitter:in", lead(DMX, length_m=10)),
            *line_of(1, 20, "splitter:out 1", "end 1"),
            *line_of(21, 40, "splitter:out 2", "end 2"),
        ),
        why="Twenty unit loads of 32 on each output, both lines with a terminator, 82 m of 300.",
        source="ANSI E1.11",
    ),
    Rig(
        name="a rack of 300 W that two fans keep cool",
        parts={
            "case": part("case", "Mains cee7-7 outside through c13", name="rack case", **BOX),
            "strip": part("distro", "in c14 230V; 1-6 c13 230V out breakerC10", name="strip"),
            **several(3, "player", player(100)),
            **several(
                2,
                "fan",
                part(
                    "fan",
                    "in c14 230V 10W",
                    name="fan, 120 m3/h",
                    power={"max_w": 10, "protection_class": "I", "leakage_ma": 0.2},
                    cooling={"fan_m3h": 120, "max_ambient_celsius": 60},
                ),
            ),
        },
        links=(
            "case:Mains rear - strip:in",
            *(f"strip:{n} - player {n}:in" for n in (1, 2, 3)),
            "strip:4 - fan 1:in",
            "strip:5 - fan 2:in",
        ),
        kit={"build": "steel", "ambient_celsius": 20},
        why="320 W and 120 m3/h as installed are 8 K; with one fan 17 K: 37 of 45 C.",
        source="heat balance, IEC TR 60890; common practice: half the free air",
    ),
    Rig(
        name="an aluminium case in the shade of an open-air stage",
        parts={"case": part("case", "", name="aluminium case", **BOX), "player": player(40)},
        kit={"build": "aluminium", "ambient_celsius": 30},
        brief={"stands": "shade"},
        why="40 W through 1.13 m2 at 5.5 W/m2K are 6 K even in still air: 36 of 45 C.",
        source="IEC TR 60890; ISO 6946",
    ),
    Rig(
        name="a splitter and a converter in a closed steel case",
        parts={
            "case": part("case", "", name="small case", width_mm=400, depth_mm=300, height_mm=200),
            "switch A": part(
                "switch",
                "1-4 8p8c 1G class4 out; 5-8 8p8c 1G; in c14 100-240V",
                name="switch, 65 W",
                power={"max_w": 80, "power_factor": 0.95, "protection_class": "I", "leakage_ma": 0.5},
                poe={"budget_w": 65, "allotment": "class"},
                cooling={"max_ambient_celsius": 50},
            ),
            "splitter": part(
                "splitter",
                "in 8p8c class4 in; out dc 12V 20W out; data 8p8c",
                name="splitter",
                poe={"efficiency": 0.85},
                cooling={"max_ambient_celsius": 50},
            ),
            "converter": part(
                "converter",
                "dc dc-5.5x2.1 plug 12V 14W in; lan 8p8c 1G; sdi bnc 3G",
                name="converter",
                cooling={"max_ambient_celsius": 50},
            ),
            "wall": OUTLET_16A,
        },
        links=(
            ("switch A:in - wall:1", C13_SCHUKO),
            ("splitter:in - switch A:1", copper(0.3, 26)),
            "converter:dc - splitter:out",
            "converter:lan - splitter:data",
        ),
        kit={"build": "steel", "ambient_celsius": 25},
        why="15 W of the switch, 2.5 of the splitter, 14 of the converter: 31.5 W through 0.4 m2 of steel are 14 K, "
        "39 of 50 C. The watts that the switch passes on count once.",
        source="IEC TR 60890; conservation of energy",
    ),
    Rig(
        name="a 28 kg case lifted onto the van by two",
        parts={
            "case": part("case", "", name="road case", weight_kg=12),
            "box": part("other", "", name="contents", weight_kg=16),
        },
        brief={
            "lifts": [{"name": "bed of the van", "horizontal_cm": 25, "origin_cm": 60, "travel_cm": 30, "people": 2}]
        },
        why="23 x 1 x 0.955 x 0.97 is 21.3 kg for one; two may lift two thirds of twice that, 28.4 kg.",
        source="NIOSH 94-110; HSE L23",
    ),
    Rig(
        name="four camera batteries of 98 Wh in the cabin",
        parts=several(
            4,
            "battery",
            part(
                "battery",
                "out xlr-4 14.4V 150W out",
                name="camera battery, 98 Wh",
                battery={"volts": 14.4, "amp_hours": 6.8},
            ),
        ),
        brief={"transport": "air"},
        why="14.4 V x 6.8 Ah is 97.9 Wh each; up to 100 Wh fly in the cabin without asking.",
        source="ICAO technical instructions, part 8",
    ),
)
