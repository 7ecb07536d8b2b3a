"""Parts that rigs share, as a small company owns them. Figures are typical of the trade, of no maker's product."""

from tests.rigs.declare import Body, Part, lead, part

OUTLET_16A = part("distro", "1 cee7-3 230V out breakerC16 rcd30", name="house outlet, 16 A, curve C, 30 mA")
OUTLET_13A = part("distro", "1 bs1363 230V out breakerB32 rcd30", name="house outlet, 13 A")
OUTLET_US_20A = part("distro", "1 nema-5-20 120V out breaker20 rcd0", name="house outlet, 120 V, 20 A")
STRIP = part(
    "distro",
    "in c14 100-240V in; 1-6 c13 out",
    name="outlet strip, C14 inlet, six C13",
    power={"rated_a": 10, "at_volts": 230},
)
STRIP_16A = part(
    "distro",
    "in c20 230V in; 1-8 c13 out breaker10",
    name="outlet strip, C20 inlet, eight C13 with breakers",
    power={"rated_a": 16, "at_volts": 230},
)


def supply(max_w: float, *, name: str = "", **power: float | str) -> Part:
    """Return a class I device with a wide-range supply and a C14 inlet."""
    return part(
        "computer",
        "in c14 100-240V in",
        name=name or f"device, {max_w:g} W",
        power={"max_w": max_w, "power_factor": 0.95, "protection_class": "I", **power},
    )


def mains_lead(ends: str, length_m: float, area_mm2: float, rated_a: float | None = None) -> Body:
    """Return a mains lead: its two connectors as a line of ports, its length and conductors."""
    cable: dict[str, float] = {"length_m": length_m, "area_mm2": area_mm2}
    return lead(ends, **(cable if rated_a is None else cable | {"rated_a": rated_a}))


def load(name: str, max_w: float, plug: str = "cee7-7 230V", kind: str = "fixture", **power: float | str) -> Part:
    """Return something resistive of class I with an inlet, and all that is asked of a load on its sheet."""
    sheet: dict[str, float | str] = {
        "max_w": max_w,
        "power_factor": 1.0,
        "protection_class": "I",
        "leakage_ma": 0.3,
        "inrush_a": 10,
        "inrush_ms": 1,
        "third_harmonic": 0.0,
    }
    return part(kind, f"in {plug} in", name=name, power=sheet | power)


C13_SCHUKO = mains_lead("wall cee7-7; device c13 plug", 2, 1.0, 10)
C19_SCHUKO = mains_lead("wall cee7-7; device c19 plug", 2, 1.5, 16)
C13_C14 = mains_lead("wall c14 plug; device c13 plug", 1, 1.0, 10)

SWITCH_65W = part(
    "switch",
    "1-4 8p8c 1G class4 out; 5-8 8p8c 1G",
    name="switch, 65 W",
    poe={"budget_w": 65, "allotment": "class"},
    network={"managed": False, "snooping": False},
)
SWITCH_120W = part(
    "switch",
    "1-4 8p8c 1G class4 out; 5-8 8p8c 1G",
    name="switch, 120 W",
    poe={"budget_w": 120, "allotment": "class"},
    network={"managed": False, "snooping": False},
)
CAMERA = part("camera", "lan 8p8c 1G class4 in", name="camera, class 4")
ACCESS_POINT = part("access-point", "lan 8p8c 1G class4 in", name="access point, class 4")
ROUTER = part("router", "wan 8p8c 1G; lan 1-4 8p8c 1G", name="router", network={"dhcp_server": True, "managed": True})
CAT5E_2M = lead("a 8p8c plug; b 8p8c plug", length_m=2, awg=26, category="5e", pairs=4)
PANEL_8 = part("case", "LAN 1-8 8p8c-rugged outside through 8p8c", name="case with eight feed-throughs")


def rear(hole: int, other: str) -> tuple[str, Body]:
    """Return the link from the rear of a panel hole to another port, by a short cord."""
    return (f"case:LAN {hole} rear - {other}", CAT5E_2M)


def wired_panel(switch: str, ports: tuple[int, ...]) -> tuple[tuple[str, Body], ...]:
    """Return the links from panel holes 1, 2 … to these ports of the switch."""
    return tuple(rear(hole, f"{switch}:{port}") for hole, port in enumerate(ports, start=1))


def module(application: str, line: str = "lc-duplex", **optics: object) -> Part:
    """Return an optical module: one end goes into a cage, the other takes the glass."""
    cage = "qsfp" if line == "mpo-12" or application.startswith(("40G", "100G")) else "sfp"
    return part(
        "adapter",
        f"line {line} through host {cage} plug",
        name=f"module, {application}",
        optics={"application": application, **optics},
    )


def glass(length_m: float, category: str, ends: tuple[str, str] = ("lc-duplex", "lc-duplex")) -> Body:
    """Return a fibre lead."""
    return lead(f"a {ends[0]} plug; b {ends[1]} plug", length_m=length_m, category=category)


def copper(length_m: float, awg: int = 24, **cable: object) -> Body:
    """Return a data lead: stranded unless it is said to be fixed."""
    facts: dict[str, object] = {"length_m": length_m, "awg": awg, "category": "6", "pairs": 4}
    return lead("a 8p8c plug; b 8p8c plug", **(facts | cable))


def coax(length_m: float, awg: int | None = None) -> Body:
    """Return a lead for serial digital video, by the gauge of its centre conductor."""
    return lead("a coax-75 plug; b coax-75 plug", length_m=length_m, **({} if awg is None else {"awg": awg}))


def speaker_lead(length_m: float, area_mm2: float) -> Body:
    """Return a lead from an amplifier to a loudspeaker."""
    return lead("a speaker-4 plug; b speaker-4 plug", length_m=length_m, area_mm2=area_mm2)


def at(label: str, port: str) -> Body:
    """Return an end of a stream or a port of a segment, as a brief names it."""
    return {"position": label, "port": port}
