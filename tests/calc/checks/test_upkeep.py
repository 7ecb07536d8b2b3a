"""Controllers, firmware and saved configurations."""

from dataclasses import replace
from datetime import timedelta

from calc.checking.registry import CHECKS
from calc.checking.runner import evaluate, merge
from calc.checks import run
from calc.rig.brief import Brief, Configuration, Controller, Firmware
from calc.rig.wiring import wire
from tests.calc.checks.briefs import ask, position_id
from tests.calc.checks.kits import NOW, At, findings, kit, missing, only, spec, switch, unit_of


def with_laptop(empty=False):
    laptop = spec("laptop", "computer", [])
    return kit({"switch": switch(), "laptop": At(laptop, unit=None if empty else unit_of(laptop, id=77), empty=empty)})


class TestControllerAbsent:
    def ruled(self, plain, *computers):
        controller = Controller(
            name="the radio software", positions=(position_id(plain, "switch"),), computers=computers
        )
        return ask(plain, controllers=(controller,))

    def test_any_of_its_computers_is_enough(self):
        assert findings(self.ruled(with_laptop(), 76, 77), "controller-absent") == []

    def test_by_itself_a_kit_only_notes_it(self):
        found = only(self.ruled(with_laptop(empty=True), 77), "controller-absent")
        assert found.severity == "note"
        assert found.message == "Take a computer with the radio software along: without it nobody can change switch."

    def test_on_site_it_is_a_caution(self):
        wired = wire([self.ruled(with_laptop(empty=True), 77)], view="packed", as_of=NOW, brief=Brief())
        found = [f for f in merge(evaluate(wired, CHECKS.values())) if f.code == "controller-absent"]
        assert [f.severity for f in found] == ["caution"]


class TestFirmwareDrift:
    def running(self, version):
        sheet = switch()
        plain = kit({"switch": At(sheet, unit=unit_of(sheet, firmware=version))})
        return ask(plain, firmware=(Firmware(position=position_id(plain, "switch"), version="4.2"),))

    def test_another_version_is_found_where_the_unit_is(self):
        assert findings(self.running("4.2"), "firmware-drift") == []
        found = only(self.running("4.1"), "firmware-drift")
        assert (found.severity, found.views) == ("caution", {"packed"})
        assert found.message == "Bring U-1 in switch to 4.2: it runs 4.1."

    def test_a_version_that_nobody_read_is_asked(self):
        assert missing(self.running(None)) == ["unit.firmware"]

    def test_units_of_one_sheet_are_asked_each_by_itself(self):
        sheet = switch()
        two = kit({f"switch {name}": At(sheet, unit=unit_of(sheet, firmware=None)) for name in "AB"})
        meant = tuple(Firmware(position=position_id(two, f"switch {name}"), version="4.2") for name in "AB")
        asked = findings(ask(two, firmware=meant), "data-missing")
        assert [finding.subject.label for finding in asked] == ["switch A", "switch B"]


class TestConfigStale:
    def saved(self, wired_before):
        plain = replace(kit({"switch": switch()}), wired_at=NOW)
        return ask(plain, configuration=Configuration(mark="theatre", saved_at=NOW + wired_before))

    def test_the_wiring_changed_after_it_was_saved(self):
        found = only(self.saved(timedelta(days=-1)), "config-stale")
        assert found.severity == "caution"
        assert "of 2027-04-30" in found.message

    def test_saved_since_it_holds(self):
        assert run(self.saved(timedelta(0)), NOW).findings == ()

    def test_never_wired_it_holds(self):
        assert run(replace(self.saved(timedelta(days=-1)), wired_at=None), NOW).findings == ()
