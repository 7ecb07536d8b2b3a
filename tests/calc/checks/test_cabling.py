"""Copper runs. Limits: ANSI/TIA-568 (100 m, 102 m equivalent, four joints), IEEE 802.3 (speeds by category)."""

from dataclasses import replace

import pytest

from calc.checks import run
from calc.rig.kit import CableSheet, PowerSheet
from tests.calc.checks.kits import NOW, ethernet, findings, kit, labels, mains, missing, only, panel, plugs, span, spec

END = ethernet("x")


def cord(length_m, awg=24, *, stranded=True, category="6", **fields):
    sheet = CableSheet(length_m=length_m, awg=awg, stranded=stranded, category=category, **fields)
    return spec("cord", "cable", plugs(), cable=sheet)


def fixed(length_m):
    return cord(length_m, stranded=False)


def chain(*cables, speed=1000, ends=None, connector="8p8c-rugged"):
    """Return a desk and a node with the cables between them, joined by panel feed-throughs."""
    a, b = ends or (replace(END, speed_mbps=speed), replace(END, speed_mbps=speed))
    things = {"desk": spec("desk", "console", [a]), "node": spec("node", "node", [b])}
    if len(cables) > 1:
        things["case"] = spec("case", "case", panel(len(cables) - 1, connector=connector))
    stops = ["desk:x"]
    for n in span(len(cables) - 1):
        stops += [f"case:LAN {n} rear", f"case:LAN {n}"]
    stops.append("node:x")
    pairs = zip(stops[::2], stops[1::2], strict=True)
    return kit(things, [(f"{one} - {other}", cable) for (one, other), cable in zip(pairs, cables, strict=True)])


def test_the_standards_own_reference_run_has_a_margin_of_zero():
    """90 m fixed and 10 m of 24 AWG cord: 90 + 10 x 1.2 = 102."""
    assert findings(chain(cord(5), fixed(90), cord(5)), "run-too-long") == []
    assert only(chain(cord(5), fixed(90), cord(5.1)), "run-too-long").value == pytest.approx(102.12)


def test_a_run_of_cords_counts_for_more_than_it_measures():
    """1 m of 26 AWG, 60 m and 25 m of 24 AWG, 1 m of 26: 85 x 1.2 + 2 x 1.5 = 105 where 87 m lie."""
    found = only(chain(cord(1, 26), cord(60), cord(25), cord(1, 26)), "run-too-long")
    assert (found.severity, found.value, found.limit, found.margin, found.unit) == ("caution", 105.0, 102.0, -3.0, "m")
    assert findings(chain(cord(1, 26), cord(60), cord(20), cord(1, 26)), "run-too-long") == []


def test_that_a_lead_is_taken_to_be_stranded_is_said():
    """86 m of 24 AWG: fixed cable is within 100 m, a stranded cord counts as 86 x 1.2 = 103.2 m."""
    found = only(chain(cord(86, stranded=None)), "run-too-long")
    assert found.inputs["lead 1: stranded"] is True
    assert found.basis["assumed"] == 2  # that, and how warm it lies
    assert findings(chain(cord(86, stranded=False)), "run-too-long") == []


WARM_BOX = {"width_mm": 500.0, "depth_mm": 400.0, "height_mm": 250.0}


def warmed(*cables, ambient=30.0, **fields):
    """Return the chain in a kit whose surroundings have that temperature."""
    return replace(chain(*cables), ambient_celsius=ambient, **fields)


@pytest.mark.parametrize(("ambient", "limit"), [(None, None), (-30, None), (20, None), (30, 98.077), (50, 89.474)])
def test_heat_takes_from_the_length_that_a_run_may_count_for(ambient, limit):
    """90 m fixed and 10 m of 24 AWG cord count as 102 m; ANSI/TIA-568.2-D: +4 % per 10 °C up to 40 °C, then +6 %."""
    found = findings(warmed(cord(5), fixed(90), cord(5), ambient=ambient), "run-too-long")
    assert [(f.severity, f.value, f.limit) for f in found] == ([] if limit is None else [("caution", 102, limit)])


def test_how_warm_it_is_taken_to_be_is_said():
    inputs = only(chain(fixed(101)), "run-too-long").inputs
    assert inputs["lead 1: copper temperature"] == 20
    warm = only(warmed(fixed(99)), "run-too-long")
    assert warm.inputs["lead 1: copper temperature"] == 30
    assert "98.1 m are the most as warm as it lies" in warm.message


def hot_box(inside_m, outside_m):
    """Return a switch of 50 W in a foam-lined box, 51.3 K warmer than 20 °C, and a run from it to the panel and on."""
    heater = spec("switch", "switch", [END, mains("in", "c14", "load")], power=PowerSheet(max_w=50))
    things = {"case": spec("case", "case", panel(1), **WARM_BOX), "switch": heater}
    things["camera"] = spec("camera", "camera", [END])
    links = [("switch:x - case:LAN 1 rear", fixed(inside_m)), ("case:LAN 1 - camera:x", fixed(outside_m))]
    return kit(things, links, build="foam-lined", ambient_celsius=20.0)


def test_only_what_lies_in_the_case_is_as_warm_as_the_case():
    """60 °C is the end of the table, where the 1 m inside counts a fifth more: 102 / (1 + 0.2 / 99) = 101.79."""
    assert findings(hot_box(1, 98), "run-too-long") == []
    found = only(hot_box(60, 39), "run-too-long")
    assert found.limit == pytest.approx(102 / (1 + 0.2 * 60 / 99), abs=0.001)
    warmth = [value for name, value in found.inputs.items() if "temperature" in name]
    assert sorted(warmth) == [20, 60]


def test_an_unknown_length_in_the_heat_is_told_against_one_limit():
    """0 or 100 m inside at 60 °C beside 60 m at 20 °C: within and beyond, whatever the limit of each."""
    (asked,) = (f for f in findings(hot_box(None, 60), "data-missing") if f.unlocks == "cable.length_m")
    assert asked.range.low < asked.limit < asked.range.high


def test_more_than_100_m_is_too_long_even_of_fixed_cable():
    found = only(chain(fixed(101)), "run-too-long")
    assert (found.value, found.limit) == (101.0, 100.0)
    assert findings(chain(fixed(100)), "run-too-long") == []


@pytest.mark.parametrize(
    ("cables", "value", "limit", "by"),
    [
        ([95, 10], 107.0, 102.0, "5.0 m"),  # 105 m long, 5 too many; counts as 95 + 10 x 1.2 = 107, 5 too many
        ([104, 1], 105.0, 100.0, "5.0 m"),  # 105 m long, 5 too many; counts as 105.2, 3.2 too many
        ([80, 30], 116.0, 102.0, "14.0 m"),  # 110 m long, 10 too many; counts as 116, 14 too many
    ],
)
def test_the_limit_that_is_passed_further_says_by_how_much_to_shorten(cables, value, limit, by):
    found = only(chain(fixed(cables[0]), cord(cables[1])), "run-too-long")
    assert (found.value, found.limit) == (value, limit)
    assert f" by {by}: " in found.message


def test_an_unknown_length_may_be_too_long():
    result = run(chain(fixed(95), cord(None)), NOW)
    assert findings(result, "run-too-long") == []
    assert missing(result) == ["cable.length_m"]


def test_an_unknown_length_does_not_hide_what_is_too_long_already():
    assert only(chain(fixed(101), cord(None)), "run-too-long").severity == "caution"


def test_an_unknown_gauge_may_be_too_thin():
    """84 m of 24 AWG count as 100.8 m, of 26 AWG as 126 m."""
    assert missing(chain(cord(84, awg=None))) == ["cable.awg"]
    assert missing(chain(cord(60, awg=None))) == []


def test_short_leads_that_nobody_named_pass():
    things = {"desk": spec("desk", "console", [END]), "node": spec("node", "node", [END])}
    result = run(kit(things, ["desk:x - node:x"]), NOW)
    assert [f.code for f in result.findings] == []


@pytest.mark.parametrize(("cables", "is_found"), [(5, False), (6, True)])
def test_joints_are_counted_between_cables(cables, is_found):
    found = findings(chain(*[cord(2)] * cables), "run-many-joints")
    assert [(f.severity, f.value, f.limit) for f in found] == ([("caution", 5, 4)] if is_found else [])


@pytest.mark.parametrize(("connector", "joints"), [("8p8c-rugged", None), ("8p8c", 6)])
def test_a_coupler_that_is_not_rated_as_one_joint_counts_twice(connector, joints):
    """Four cables and three panels between them; the standard's limit is four (memory)."""
    found = findings(chain(*[cord(2)] * 4, connector=connector), "run-many-joints")
    assert [f.value for f in found] == ([] if joints is None else [joints])


def test_a_coupler_that_nothing_is_plugged_into_yet_is_no_joint():
    panels = spec("case", "case", panel(3, connector="8p8c"))
    things = {"desk": spec("desk", "console", [END]), "case": panels}
    links = ["desk:x - case:LAN 1 rear", "case:LAN 1 - case:LAN 2", "case:LAN 2 rear - case:LAN 3 rear"]
    assert findings(kit(things, [(link, cord(2)) for link in links]), "run-many-joints") == []


def test_cables_that_enter_each_other_make_one_joint():
    socket = replace(plugs()[1], side="socket")
    extension = spec("extension", "cable", [plugs()[0], socket], cable=CableSheet(length_m=60, awg=24, category="5e"))
    things = {"desk": spec("desk", "console", [END]), "long": extension, "node": spec("node", "node", [END])}
    links = ["desk:x - long:one end", ("long:other end - node:x", spec("x", "cable", [plugs()[0], plugs()[1]]))]
    assert findings(kit(things, links), "run-many-joints") == []


@pytest.mark.parametrize(
    ("category", "speed", "is_found"),
    [("5e", 1000, False), ("5e", 10_000, True), ("6", 10_000, False), ("3", 1000, True), ("6a", 10_000, False)],
)
def test_the_weakest_category_limits_the_speed(category, speed, is_found):
    found = findings(chain(cord(20, category="6a"), cord(20, category=category), speed=speed), "run-limits-speed")
    assert [f.severity for f in found] == (["caution"] if is_found else [])


def test_two_pairs_carry_100_mbps():
    found = only(chain(cord(20, pairs=2)), "run-limits-speed")
    assert (found.value, found.limit, found.unit) == (100.0, 1000.0, "Mb/s")


def test_a_slow_feed_through_limits_the_speed():
    slow = [replace(port, speed_mbps=100) for port in panel(1)]
    things = {"case": spec("case", "case", slow), "desk": spec("d", "console", [END]), "node": spec("n", "node", [END])}
    assert only(kit(things, ["desk:x - case:LAN 1 rear", "case:LAN 1 - node:x"]), "run-limits-speed").value == 100


def test_the_slower_end_sets_what_is_wanted():
    ends = (replace(END, speed_mbps=10_000), replace(END, speed_mbps=1000))
    assert findings(chain(cord(20, category="5e"), ends=ends), "run-limits-speed") == []


def test_an_unknown_category_matters_above_1_gbps():
    assert missing(chain(cord(20, category=None), speed=10_000)) == ["cable.category"]
    assert missing(chain(cord(20, category=None), speed=1000)) == []


def test_an_unknown_speed_matters_where_the_run_is_slow():
    ends = (replace(END, speed_mbps=None), replace(END, speed_mbps=1000))
    for pair, silent in ((ends, "desk"), (ends[::-1], "node")):
        slow = chain(cord(20, category="3"), ends=pair)
        assert missing(slow) == ["ports.x.speed_mbps"]
        assert labels(findings(slow, "data-missing")) == [silent]
    assert missing(chain(cord(20, category="6"), ends=ends)) == []
