"""Lifting (NIOSH 94-110, HSE L23) and flying (ICAO technical instructions)."""

from dataclasses import replace

import pytest

from calc.checks import run
from calc.errors import BadInput
from calc.lifting import lifting_index
from calc.rig.brief import Brief, Lift
from calc.rig.kit import BatterySheet
from tests.calc.checks.briefs import ask
from tests.calc.checks.kits import NOW, At, ethernet, findings, kit, missing, only, spec

STAIRS = Lift(name="the stairs", horizontal_cm=40, origin_cm=30, travel_cm=100, coupling="good")
"""HM 0.625, VM 0.865, DM 0.865, FM 1 (rarely, 1 h): 23 · 0.625 · 0.865 · 0.865 = 10.76 kg, worked by hand."""


def weighing(kg, *lifts, **rest):
    things = {"case": spec("case", "case", weight_kg=kg), "rest": spec("rest", "tool", weight_kg=0.0, **rest)}
    return ask(kit(things), lifts=lifts or (STAIRS,))


class TestTooHeavy:
    def test_the_limit_is_what_was_worked_by_hand(self):
        assert STAIRS.one_person_limit_kg() == pytest.approx(10.755, abs=0.001)

    @pytest.mark.parametrize(
        ("kg", "advice"),
        [
            (10.7, None),
            (10.8, "Lift it with 2 people"),
            (14.4, "Lift it with 3 people"),
            (17, "Lift it with 4 people"),
            (22, "Use a ramp"),
        ],
    )
    def test_it_says_how_many_people_may(self, kg, advice):
        """Two may lift 4/3 of one's limit, three 3/2 (HSE L23, three from memory), four double (common practice)."""
        found = findings(weighing(kg), "too-heavy")
        assert [f.message.startswith(str(advice)) for f in found] == ([True] if advice else [])
        for finding in found:
            assert finding.severity == "caution"
            index = lifting_index(kg, 40, 30, 100, 0, 0.2, 1, "good")
            assert finding.value / finding.limit == pytest.approx(index, abs=0.001)

    def test_two_people_may_lift_more(self):
        assert findings(weighing(14.3, replace(STAIRS, people=2)), "too-heavy") == []
        assert only(weighing(14.4, replace(STAIRS, people=2)), "too-heavy").limit == pytest.approx(14.341, abs=0.001)

    def test_what_nobody_weighed_is_asked_only_where_it_matters(self):
        light = ask(kit({"case": spec("case", "case", weight_kg=5), "x": spec("x", "tool")}), lifts=(STAIRS,))
        assert missing(light) == ["weight_kg"]
        heavy = ask(kit({"case": spec("case", "case", weight_kg=50), "x": spec("x", "tool")}), lifts=(STAIRS,))
        assert "at least 50 kg" in only(heavy, "too-heavy").message

    def test_a_kit_inside_is_lifted_with_it(self):
        box_case = spec("box", "case", weight_kg=4)
        box = replace(kit({"case": box_case, "x": spec("x", "tool", weight_kg=4)}), id=2)
        outer = kit({"case": spec("trunk", "case", weight_kg=4), "box": At(box_case, nested=box)})
        assert only(ask(outer, lifts=(STAIRS,)), "too-heavy").value == 12
        asked_inside = replace(
            outer, positions=(outer.positions[0], replace(outer.positions[1], nested=ask(box, lifts=(STAIRS,))))
        )
        assert findings(asked_inside, "too-heavy") == []

    def test_the_leads_of_its_links_are_lifted_with_it(self):
        lead = spec("patch", "cable", [ethernet("a", side="plug"), ethernet("b", side="plug")], weight_kg=3)
        desk = spec("desk", "console", [ethernet("net")], weight_kg=8)
        joined = kit({"case": spec("case", "case", weight_kg=8), "a": desk, "b": desk}, [("a:net - b:net", lead)])
        lifted = run(ask(joined, lifts=(STAIRS,)), NOW)
        assert only(lifted, "too-heavy").value == lifted.figures["weight_kg"] == 27
        device = replace(desk, weight_kg=1)
        light = kit({"a": device, "b": device}, [("a:net - b:net", replace(lead, weight_kg=None))])
        assert "weight_kg" in missing(ask(light, lifts=(STAIRS,)))

    def test_what_is_asked_of_a_kit_inside_is_told_where_it_lies(self):
        box_case = spec("box", "case", weight_kg=14)
        box = ask(replace(kit({"case": box_case}), id=2), lifts=(STAIRS,))
        outer = kit({"case": spec("trunk", "case", weight_kg=4), "box": At(box_case, nested=box)})
        assert only(outer, "too-heavy").subject.label == "box"

    def test_each_place_is_told(self):
        assert len(findings(weighing(20, STAIRS, replace(STAIRS, name="the truck")), "too-heavy")) == 2

    def test_a_lift_that_cannot_be_is_refused(self):
        with pytest.raises(BadInput, match="people"):
            replace(STAIRS, people=4)
        with pytest.raises(BadInput, match="duration_h"):
            replace(STAIRS, duration_h=9)


class TestBatteryTransport:
    def flying(self, volts, amp_hours, transport="air"):
        battery = spec("battery", "battery", battery=BatterySheet(volts=volts, amp_hours=amp_hours))
        return ask(kit({"battery": battery}), transport=transport)

    @pytest.mark.parametrize(
        ("amp_hours", "severity", "limit"),
        [(10, None, None), (10.1, "caution", 100), (16, "caution", 100), (16.1, "stop", 160)],
    )
    def test_100_and_160_watt_hours(self, amp_hours, severity, limit):
        found = findings(self.flying(10, amp_hours), "battery-transport")
        assert [(f.severity, f.limit) for f in found] == ([(severity, limit)] if severity else [])

    @pytest.mark.parametrize("transport", ["road", None])
    def test_on_the_road_nothing_is_said(self, transport):
        assert findings(self.flying(10, 50, transport), "battery-transport") == []

    def test_what_nobody_said_is_asked(self):
        assert missing(self.flying(None, 10)) == ["battery.volts"]
        assert missing(self.flying(10, None)) == ["battery.amp_hours"]

    def test_only_what_there_is_can_be_asked(self):
        with pytest.raises(BadInput, match="transport"):
            Brief(transport="pigeon")
