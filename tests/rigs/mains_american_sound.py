"""Sound mains rigs under North American rules: split phase, three phases of 120/208 V, and single-pole feeds."""

from tests.rigs.declare import Part, Rig, part, several
from tests.rigs.gear import OUTLET_US_20A, lead, load, supply

RULES = "north_america"
STINGER = lead("a nema-5-20 plug; b nema-5-20 socket", length_m=15, awg=12)
LAMP_1KW = load("lamp, 1 kW", 1000, "nema-5-20 120V")
SPLIT_BOX = part(
    "distro",
    "in nema-l14-30 240V in; 1-2 nema-5-20 120V out breaker20 rcd0 legA; 3-4 nema-5-20 120V out breaker20 rcd0 legB",
    name="split box, L14-30 to 4 x 20 A",
)
CAM_SET = ("l1", "l2", "l3", "n", "e")
CAM_LEAD = lead("a single-pole-cam-l1 plug; b single-pole-cam-l1 socket", length_m=15, awg=-1, rated_a=300)


def cams(names: str, what: str) -> str:
    """Return a set of single-pole ports as a line: ``cams("in", "in")``."""
    return "; ".join(f"{names} {pole} single-pole-cam-{pole} {what}" for pole in CAM_SET)


COMPANY_SWITCH = part("distro", cams("out", "socket 120V out breaker200 rcd0"), name="company switch, 200 A, 120/208 V")


def cam_links(box: str, source: str) -> tuple[str, ...]:
    """Return the five links of a single-pole feed, laid without naming the cables."""
    return tuple(f"{box}:in {pole} - {source}:out {pole}" for pole in CAM_SET)


def cam_rack(outlets: str, name: str) -> Part:
    """Return a rack with single-pole inlets and these outlets."""
    return part("distro", f"{cams('in', 'plug 120V in')}; {outlets}", name=name)


RIGS = (
    Rig(
        name="a stinger of 12 AWG to a lamp of 1 kW",
        parts={"wall": OUTLET_US_20A, "lamp": LAMP_1KW},
        links=(("lamp:in - wall:1", STINGER),),
        why="8.3 A of the 16 A that 20 A carry for hours; 15 m of 12 AWG lose 1.5 V, 1.2 %.",
        source="NFPA 70, 210.20(A), chapter 9 table 8",
        rules=RULES,
    ),
    Rig(
        name="a split-phase generator with two lamps on each line",
        parts={
            "generator": part(
                "supply",
                "out nema-l14-30 240V out breaker30 rcd0",
                name="generator, 7 kVA, split phase",
                power={"output_va": 7000, "neutral_bonded": True},
            ),
            "box": SPLIT_BOX,
            **several(4, "lamp", LAMP_1KW),
        },
        links=(
            ("box:in - generator:out", lead("a nema-l14-30 plug; b nema-l14-30 socket", length_m=15, awg=10)),
            *(f"lamp {n}:in - box:{n}" for n in range(1, 5)),
        ),
        why="2 kW on each line are 16.7 of the 24 A that 30 A carry for hours, 2 of 3.5 kVA; none in the neutral.",
        source="NFPA 70, 210.20(A); ISO 8528-1",
        rules=RULES,
    ),
    Rig(
        name="a lunch box on a range outlet",
        parts={
            "wall": part("distro", "out nema-14-50 240V out breaker50 rcd0", name="range outlet, 50 A"),
            "box": part(
                "distro",
                "in nema-14-50 240V in; 1-3 nema-5-20 120V out breaker20 rcd0 legA; "
                "4-6 nema-5-20 120V out breaker20 rcd0 legB",
                name="lunch box, 6 x 20 A",
            ),
            **several(6, "lamp", LAMP_1KW),
        },
        links=(
            ("box:in - wall:out", lead("a nema-14-50 plug; b nema-14-50 socket", length_m=8, awg=6)),
            *(f"lamp {n}:in - box:{n}" for n in range(1, 7)),
        ),
        why="25 A on each line of the 40 A that 50 A carry for hours; 8.3 A on each outlet.",
        source="NFPA 70, 210.20(A)",
        rules=RULES,
    ),
    Rig(
        name="a three-phase stringer of 30 A to six outlets",
        parts={
            "wall": part("distro", "out nema-l21-30 208V out breaker30 rcd0", name="L21-30 outlet"),
            "box": part(
                "distro",
                "in nema-l21-30 208V in; 1-2 nema-5-20 120V out breaker20 rcd0 L1; "
                "3-4 nema-5-20 120V out breaker20 rcd0 L2; 5-6 nema-5-20 120V out breaker20 rcd0 L3",
                name="L21-30 to 6 x 20 A",
            ),
            **several(6, "lamp", LAMP_1KW),
        },
        links=(
            ("box:in - wall:out", lead("a nema-l21-30 plug; b nema-l21-30 socket", length_m=15, awg=10, rated_a=30)),
            *(f"lamp {n}:in - box:{n}" for n in range(1, 7)),
        ),
        why="2 kW a line are 16.7 A of 24 A; the cable is listed for 30 A as sold.",
        source="NFPA 70, 210.20(A)",
        rules=RULES,
    ),
    Rig(
        name="supplies between two lines of 208 V",
        parts={
            "wall": part("distro", "out nema-l21-30 208V out breaker30 rcd0", name="L21-30 outlet"),
            "box": part(
                "distro",
                "in nema-l21-30 208V in; 1 nema-l6-20 208V out breaker20 rcd0 L1-L2; "
                "2 nema-l6-20 208V out breaker20 rcd0 L2-L3; 3 nema-l6-20 208V out breaker20 rcd0 L1-L3",
                name="L21-30 to 3 x L6-20",
            ),
            **several(3, "screen", load("LED screen", 2000, "nema-l6-20 200-240V", power_factor=0.95, inrush_a=60)),
        },
        links=(
            ("box:in - wall:out", lead("a nema-l21-30 plug; b nema-l21-30 socket", length_m=15, awg=10, rated_a=30)),
            *(f"screen {n}:in - box:{n}" for n in (1, 2, 3)),
        ),
        why="2,105 VA at 208 V are 10.1 A between two lines; two such meet on each line, 17.5 A of 24 A.",
        source="NFPA 70, 210.20(A)",
        rules=RULES,
    ),
    Rig(
        name="a dimmer rack on a single-pole feed of 200 A",
        parts={
            "switch": COMPANY_SWITCH,
            "rack": cam_rack(
                "; ".join(
                    f"{first}-{first + 3} stage-pin-20 socket 120V out breaker20 rcd0 L{line}"
                    for line, first in ((1, 1), (2, 5), (3, 9))
                ),
                "dimmer rack, 12 x 2.4 kW",
            ),
            **several(12, "lamp", load("lamp, 1 kW", 1000, "stage-pin-20 120V", third_harmonic=0.2)),
        },
        links=(*cam_links("rack", "switch"), *(f"lamp {n}:in - rack:{n}" for n in range(1, 13))),
        why="33 A on each line of the 160 A that 200 A carry for hours. Five cables are one feed, not five.",
        source="NFPA 70, 210.20(A), 520.53",
        rules=RULES,
        never=frozenset({"sources-joined"}),
    ),
    Rig(
        name="video gear of small draw behind a ground-fault outlet",
        parts={
            "wall": part("distro", "1-4 nema-5-15 120V out breaker15 rcd5", name="outlets behind one GFCI"),
            **several(3, "monitor", supply(90, leakage_ma=0.5, inrush_a=20, inrush_ms=0.3, third_harmonic=0.1)),
        },
        links=tuple(
            (f"monitor {n}:in - wall:{n}", lead("wall nema-5-15 plug; device c13 plug", length_m=2, awg=18))
            for n in (1, 2, 3)
        ),
        why="1.5 mA of the 3 mA at which a class A device is still sure to hold; 2.4 A.",
        source="UL 943, from memory",
        rules=RULES,
    ),
    Rig(
        name="class II chargers on two-pole leads",
        parts={
            "wall": part("distro", "1-4 nema-5-15 120V out breaker15 rcd0", name="outlets, 15 A"),
            **several(
                2,
                "charger",
                part(
                    "other",
                    "in c8 100-240V in",
                    name="charger",
                    power={
                        "max_w": 60,
                        "protection_class": "II",
                        "inrush_a": 15,
                        "inrush_ms": 0.2,
                        "third_harmonic": 0.8,
                    },
                ),
            ),
        },
        links=tuple(
            (f"charger {n}:in - wall:{n}", lead("a nema-5-15 plug; b c7 plug", length_m=2, awg=18)) for n in (1, 2)
        ),
        why="At most 0.9 A each; C7 has no ground contact, and class II needs none.",
        source="IEC 60320-1; IEC 61140",
        rules=RULES,
    ),
)
