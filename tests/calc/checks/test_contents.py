"""Is it there, and is it what was planned? Severities by role: the table of checks of this project."""

import pytest

from calc.checks import run
from tests.calc.checks.kits import NOW, At, camera, findings, kit, only, switch, unit_of


@pytest.mark.parametrize(("role", "severity"), [("required", "stop"), ("spare", "note"), ("optional", "note")])
def test_an_empty_position_is_found_by_its_role(role, severity):
    found = only(kit({"switch A": At(switch(), role=role, empty=True)}), "position-empty")
    assert (found.severity, found.subject.label, found.views) == (severity, "switch A", {"packed"})


def test_a_filled_position_is_not_found():
    assert findings(kit({"switch A": switch()}), "position-empty") == []


@pytest.mark.parametrize("state", ["lost", "retired"])
def test_a_unit_that_is_gone_leaves_its_position_empty(state):
    spec = switch()
    assert only(kit({"switch A": At(spec, unit=unit_of(spec, state=state))}), "position-empty").severity == "stop"


def test_an_empty_position_stops_the_packed_verdict_only():
    result = run(kit({"camera": At(camera(), empty=True)}), NOW)
    assert result.verdicts["packed"] == result.verdict == "stop"
    assert result.verdicts["design"] != "stop"
