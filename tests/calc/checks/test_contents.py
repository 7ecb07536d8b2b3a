"""Is it there, and is it what was planned? Severities by role: the table of checks of this project."""

from dataclasses import replace
from datetime import timedelta

import pytest

from calc.checks import run
from tests.calc.checks.kits import NOW, At, camera, findings, kit, labels, only, spec, switch, unit_of

BY_ROLE = [("required", "stop"), ("optional", "caution"), ("spare", "note")]


@pytest.mark.parametrize(("role", "severity"), [("required", "stop"), ("spare", "note"), ("optional", "note")])
def test_an_empty_position_is_found_by_its_role(role, severity):
    found = only(kit({"switch A": At(switch(), role=role, empty=True), "box": spec("tool")}), "position-empty")
    assert (found.severity, found.subject.label, found.views) == (severity, "switch A", {"packed"})


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Injector, 30 W", "an Injector"),
        ("Switch", "a Switch"),
        ("SDI lead", "an SDI lead"),
        ("USB hub", "a USB hub"),
        ("UPS, 500 VA", "a UPS"),
        ("Unit for rain", "a Unit"),
        ("8 way distro", "an 8 way"),
        ("1 way distro", "a 1 way"),
    ],
)
def test_an_empty_place_is_told_with_the_article_of_its_type(name: str, said: str):
    box = replace(spec("tool"), name=name)
    found = only(kit({"tool": At(box, empty=True), "switch A": switch()}), "position-empty")
    assert said in found.message


def test_a_filled_position_is_not_found():
    assert findings(kit({"switch A": switch()}), "position-empty") == []


def test_an_empty_position_stops_the_packed_verdict_only():
    result = run(kit({"camera": At(camera(), empty=True), "box": spec("tool")}), NOW)
    assert result.verdicts["packed"] == result.verdict == "stop"
    assert "position-empty" not in {f.code for f in result.findings if "design" in f.views}


def test_a_kit_in_which_nothing_is_packed_is_judged_as_a_design_only():
    result = run(kit({"camera": At(camera(), empty=True), "switch A": At(switch(), empty=True)}), NOW)
    assert result.verdicts["packed"] is None
    assert "position-empty" not in {finding.code for finding in result.findings}


def test_links_of_an_empty_position_say_nothing_more():
    wired = kit(
        {"switch A": At(switch(), empty=True), "camera 1": camera(), "camera 2": camera()},
        ["switch A:1 - camera 1:net", "switch A:2 - camera 2:net"],
    )
    assert {f.code for f in run(wired, NOW).findings if f.severity == "stop"} == {"position-empty"}


@pytest.mark.parametrize(("role", "severity"), [("required", "stop"), ("optional", "note"), ("spare", "note")])
def test_another_spec_than_planned_is_found_by_its_role(role, severity):
    planned, other = switch(), switch()
    found = only(kit({"switch A": At(planned, role=role, unit=unit_of(other))}), "spec-differs")
    assert (found.severity, found.views) == (severity, {"packed"})


def test_a_spec_that_may_stand_in_is_a_note():
    planned, other = switch(), switch()
    found = only(kit({"switch A": At(planned, unit=unit_of(other), accepts=frozenset({other.id}))}), "spec-differs")
    assert found.severity == "note"


def test_the_planned_spec_is_not_found():
    assert findings(kit({"switch A": switch()}), "spec-differs") == []


@pytest.mark.parametrize(("role", "severity"), BY_ROLE)
@pytest.mark.parametrize("state", ["held-back", "lost", "retired"])
def test_a_unit_that_may_not_go_out_is_found_by_its_role(state, role, severity):
    planned = switch()
    result = run(kit({"switch A": At(planned, role=role, unit=unit_of(planned, state=state))}), NOW)
    assert only(result, "unit-out").severity == severity
    assert findings(result, "position-empty") == []


def test_a_unit_in_service_is_not_found():
    assert findings(kit({"switch A": switch()}), "unit-out") == []


@pytest.mark.parametrize(("role", "severity"), [("required", "caution"), ("spare", "note")])
def test_a_passed_inspection_date_is_found_from_that_moment_on(role, severity):
    planned = switch()
    inspected = kit({"switch A": At(planned, role=role, unit=unit_of(planned, inspection_due_at=NOW))})
    assert only(run(inspected, NOW), "inspection-due").severity == severity
    assert findings(run(inspected, NOW - timedelta(seconds=1)), "inspection-due") == []


def test_the_next_change_is_the_next_inspection_date():
    planned = switch()
    dates = [NOW - timedelta(days=1), NOW + timedelta(days=9), NOW + timedelta(days=3)]
    filled = {f"s{n}": At(planned, unit=unit_of(planned, inspection_due_at=date)) for n, date in enumerate(dates)}
    assert run(kit(filled), NOW).next_change == NOW + timedelta(days=3)
    assert run(kit({"s": switch()}), NOW).next_change is None


def test_a_unit_without_a_date_is_not_due():
    assert findings(kit({"switch A": switch()}), "inspection-due") == []


@pytest.mark.parametrize(("role", "severity"), BY_ROLE)
def test_a_failed_inspection_is_found_by_role(role, severity):
    planned = switch()
    found = kit({"switch A": At(planned, role=role, unit=unit_of(planned, failed_inspection=True))})
    assert only(found, "test-failed").severity == severity


def test_a_passed_inspection_is_not_found():
    assert findings(kit({"switch A": switch()}), "test-failed") == []


def test_a_kit_of_bare_specs_reads_unknown():
    result = run(kit({"case": spec("case", "case"), "switch A": spec("switch", "switch")}), NOW)
    assert result.verdict == "unknown"
    assert labels(findings(result, "data-missing")) == ["switch A"]


@pytest.mark.parametrize("kind", ["case", "tool", "other", "battery"])
def test_a_kit_in_which_nothing_at_all_is_known_reads_unknown(kind):
    assert run(kit({"thing": spec("thing", kind)}), NOW).verdict == "unknown"


def test_a_case_of_weighed_tools_is_not_unknown():
    assert run(
        kit({"case": spec("case", "case", weight_kg=9), "saw": spec("saw", "tool", weight_kg=2)}), NOW
    ).verdict == ("nothing-found")


def test_one_bare_spec_is_said_once_however_many_there_are():
    bare = spec("camera", "camera")
    assert labels(findings(kit({f"camera {n}": bare for n in range(5)}), "data-missing")) == ["camera 0"]
