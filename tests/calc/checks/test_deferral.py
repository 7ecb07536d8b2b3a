"""Who decides about what was found: told once for all findings, and for nothing else."""

import pytest

import calc.checks  # noqa: F401 - registers them
from calc.checking.deferral import codes_behind, deferral, matter_of


@pytest.mark.parametrize(
    ("code", "matter"),
    [
        ("circuit-overload", "mains"),
        ("sources-joined", "mains"),
        ("case-hot", "heat"),
        ("too-heavy", "lifting"),
        ("battery-transport", "batteries"),
        ("multicast-on-radio", "radio"),
        ("multicast-flood", None),
        ("run-too-long", None),
        ("no-such-check", None),
    ],
)
def test_what_a_finding_is_about(code, matter):
    assert matter_of(code) == matter


def test_who_decides_is_told_once_for_many_findings():
    told = deferral(["circuit-overload", "cord-drop", "run-too-long", "too-heavy"])
    assert told is not None
    assert told.count("licensed electrician") == 1
    assert "manual handling" in told
    assert "batteries" not in told


def test_nobody_else_decides_about_a_network():
    assert deferral(["run-too-long", "link-loop"]) is None
    assert deferral([]) is None


def test_a_missing_number_is_about_what_waits_for_it():
    assert codes_behind("data-missing", {"waiting": "cord-drop, case-hot"}) == {"data-missing", "cord-drop", "case-hot"}
    assert codes_behind("data-missing", {}) == {"data-missing"}
