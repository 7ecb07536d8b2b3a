"""Laws that hold for every rig: the order of writing is no matter, and more load is never better."""

import random
from dataclasses import replace

import pytest

from tests.rigs.calculated import judge
from tests.rigs.collection import ALL
from tests.rigs.declare import Rig, part
from tests.rigs.gear import OUTLET_16A, mains_lead, supply


def alarms(rig: Rig) -> set[tuple[str, str]]:
    return {(finding.code, finding.severity) for finding in judge(rig).findings}


@pytest.mark.parametrize("rig", ALL, ids=lambda rig: rig.name)
def test_the_order_of_parts_and_links_is_no_matter(rig: Rig) -> None:
    shuffled = random.Random(7)
    labels, links = list(rig.parts), list(rig.links)
    shuffled.shuffle(labels)
    shuffled.shuffle(links)
    other = replace(rig, parts={label: rig.parts[label] for label in labels}, links=tuple(links))
    assert alarms(other) == alarms(rig)


@pytest.mark.parametrize("rig", ALL, ids=lambda rig: rig.name)
def test_something_that_is_joined_to_nothing_takes_no_stop_away(rig: Rig) -> None:
    with_a_tool = replace(rig, parts={**rig.parts, "torch": part("tool", name="torch", weight_kg=0.3)})
    stops = {one for one in alarms(rig) if one[1] == "stop"}
    assert alarms(with_a_tool) >= stops


def lost(length_m: float, area_mm2: float, watts: float) -> float:
    """Return what is lost on a lead, in percent, as a finding tells it; 0 where nothing is found."""
    rig = Rig(
        name="lead",
        parts={"wall": OUTLET_16A, "load": supply(watts)},
        links=(("load:in - wall:1", mains_lead("wall cee7-7; device c13 plug", length_m, area_mm2, 16)),),
        why="",
        source="",
    )
    found = [finding for finding in judge(rig).findings if finding.code == "cord-drop" and finding.unit == "%"]
    return max((finding.value or 0.0 for finding in found), default=0.0)


@pytest.mark.parametrize(("shorter", "longer"), [(50, 80), (80, 120), (120, 200)])
def test_a_longer_or_thinner_lead_or_more_load_never_loses_less(shorter: float, longer: float) -> None:
    assert lost(shorter, 1.5, 1500) <= lost(longer, 1.5, 1500)
    assert lost(longer, 2.5, 1500) <= lost(longer, 1.5, 1500)
    assert lost(longer, 1.5, 1000) <= lost(longer, 1.5, 1500)
    assert lost(200, 1.0, 1500) > 0
