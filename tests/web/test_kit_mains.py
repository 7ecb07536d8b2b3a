"""What a kit's page tells of its mains: each line, the neutral, and how long a battery runs it."""

import pytest

from tests.inventory.gear import Gear
from tests.web.reading import text

pytestmark = pytest.mark.django_db

LAMP = {"max_w": 2300, "power_factor": 1, "third_harmonic": 0, "protection_class": "I"}


def linked(a: str, a_port: str, b: str, b_port: str) -> dict[str, object]:
    return {"from": {"position": a, "port": a_port}, "to": {"position": b, "port": b_port}}


def test_a_kit_on_three_phases_tells_its_lines_and_its_neutral(reader, api) -> None:
    """10 A on L1 and L2 and none on L3 leave 10 A in the neutral."""
    gear = Gear(api("planner"))
    line = "in iec60309-32-3pne-400 400V outside; 1 cee7-3 230V L1; 2 cee7-3 230V L2"
    box, lamp = gear.spec("distro", ports_text=line), gear.spec("fixture", ports_text="in cee7-7 230V", power=LAMP)
    positions = [{"label": "box", "unit": gear.unit(box)}]
    positions += [{"label": f"lamp {n}", "unit": gear.unit(lamp)} for n in (1, 2)]
    kit = gear.kit(positions, [linked("box", f"{n}", f"lamp {n}", "in") for n in (1, 2)])["id"]
    figures = gear.check(kit)["figures"]
    assert (figures["legs_a"], figures["neutral_a"]) == ({"L1": 10.0, "L2": 10.0, "L3": 0.0}, 10.0)
    page = text(reader("viewer").get(f"/kits/{kit}/"))
    for words in ("Neutral current", "Current on L1", "Current on L3"):
        assert words in page


def test_a_kit_with_a_battery_tells_how_long_it_runs(reader, api) -> None:
    """36 V, 9 Ah: 324 Wh, times 0.9 over 300 W: 58.3 minutes."""
    gear = Gear(api("planner"))
    ups = gear.spec(
        "supply", ports_text="in c14 230V; 1 c13 230V", power={"output_va": 1000, "efficiency": 0.9},
        battery={"volts": 36, "amp_hours": 9},
    )  # fmt: skip
    computer = gear.spec("computer", ports_text="in c14 100-240V", power={"max_w": 300, "power_factor": 1})
    positions = [{"label": "UPS", "unit": gear.unit(ups)}, {"label": "computer", "unit": gear.unit(computer)}]
    kit = gear.kit(positions, [linked("UPS", "1", "computer", "in")])["id"]
    (told,) = gear.check(kit)["figures"]["run_times"]
    assert (told["label"], told["minutes"]) == ("UPS", 58.3)
    assert "Runs on its battery at most, UPS" in text(reader("viewer").get(f"/kits/{kit}/"))
