"""How long all checks take over one kit, in both views, by its size."""

import gc
from statistics import median
from time import process_time

from calc.checks import run
from calc.rig.kit import CableSheet, CoolingSheet, Kit, PowerSheet, Spec
from tests.calc.checks.kits import NOW, At, camera, distro, kit, panel, plugs, span, spec, supply, switch

REPEATS = 15
CAMERAS_A_SWITCH = 3
THINGS_A_BLOCK = 2 + CAMERAS_A_SWITCH
"""One switch, one supply, three cameras."""
NESTED = 3


def measure() -> list[tuple[str, float, str]]:
    """Return rows of (what, figure, unit): median milliseconds of processor time at 15, 60 and 240 devices."""
    return [(f"checks of a kit with {devices} devices", _median_ms(devices), "ms") for devices in (15, 60, 240)]


def _median_ms(devices: int) -> float:
    rig = rig_of(devices)
    run(rig, NOW)
    gc.collect()
    taken = []
    for _ in range(REPEATS):
        start = process_time()
        run(rig, NOW)
        taken.append((process_time() - start) * 1000)
    return round(median(taken), 2)


def rig_of(devices: int) -> Kit:
    """Return a kit of so many devices, two links to each, half of them in three nested kits."""
    blocks = devices // THINGS_A_BLOCK
    inner = blocks // 2 // NESTED
    things, links = _blocks(blocks - inner * NESTED)
    for number in range(NESTED if inner else 0):
        box_things, box_links = _blocks(inner)
        box = kit(box_things, box_links, build="aluminium", ambient_celsius=25.0)
        things[f"box {number}"] = At(box_things["case"], nested=box)
        links.append((f"box {number}:LAN 5 - case:LAN {number + 6}", PATCH))
    return kit(things, links, build="aluminium", ambient_celsius=25.0, exposed_retention="latch")


PATCH = spec("patch lead", "cable", plugs(), cable=CableSheet(length_m=2, awg=26, category="6"), weight_kg=0.1)


def _blocks(count: int) -> tuple[dict[str, Spec | At], list[str | tuple[str, Spec | str]]]:
    """Return switches in a row, each with its supply and its cameras, wired to a panel and a distribution unit."""
    ports = panel(8 * count + 8)
    things: dict[str, Spec | At] = {
        "case": spec("case", "case", ports, width_mm=900.0, depth_mm=700.0, height_mm=600.0, weight_kg=30.0),
        "distro": distro(outlets=count + 2),
    }
    links: list[str | tuple[str, Spec | str]] = []
    switch_spec = switch(95, power=PowerSheet(max_w=20), weight_kg=0.6, cooling=CoolingSheet(max_ambient_celsius=60))
    supply_spec, camera_spec = supply(100, leakage_ma=0.5), camera(4, weight_kg=1.0)
    for n in range(count):
        things |= {f"switch {n}": switch_spec, f"supply {n}": supply_spec}
        links.append(f"distro:{n + 1} - supply {n}:in")
        links += [(f"switch {n}:{port} - case:LAN {8 * n + port} rear", PATCH) for port in span(6)]
        if n:
            links.append((f"switch {n - 1}:7 - switch {n}:8", PATCH))
        for number in span(CAMERAS_A_SWITCH):
            things[f"camera {n}.{number}"] = camera_spec
            links.append((f"camera {n}.{number}:net - case:LAN {8 * n + number}", PATCH))
    return things, links
