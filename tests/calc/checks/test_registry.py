"""The register of checks, what a finding carries, and the order of findings."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest

from calc.checking.drafts import Draft
from calc.checking.runner import evaluate, merge
from calc.checking.table import markdown_table
from calc.checks import CHECKS, Finding, Subject, check, run, verdict
from calc.rig.wiring import wire
from calc.vocabulary import PROVENANCES, SEVERITIES
from tests.calc.checks.kits import NOW, At, camera, kit, only, panel, span, spec, switch, unit_of
from tests.calc.checks.test_poe import rig


def finding(**fields):
    sound = {
        "code": "poe-budget-exceeded",
        "severity": "stop",
        "subject": Subject(position=4, label="switch A"),
        "value": 90.0,
        "limit": 65.0,
        "margin": -25.0,
        "unit": "W",
        "message": "Feed it from elsewhere.",
        "source": "IEEE 802.3",
        "inputs": {"budget": 65.0},
        "basis": {"data sheet": 1},
        "views": frozenset({"design"}),
    }
    return Finding(**sound | fields)


@pytest.mark.parametrize(
    "change",
    [
        {"code": "poe-starved"},
        {"subject": Subject(position=5, label="switch A")},
        {"subject": Subject(position=4, label="switch A", port="1")},
        {"value": 91.0},
        {"limit": 60.0},
        {"inputs": {"budget": 66.0}},
        {"inputs": {"budget": 65.0, "allotment": "class"}},
    ],
)
def test_an_acceptance_dies_with_what_it_was_about(change):
    assert finding(**change).fingerprint != finding().fingerprint


@pytest.mark.parametrize(
    "change",
    [
        {"subject": Subject(position=4, label="renamed")},
        {"message": "In other words."},
        {"views": frozenset({"packed"})},
        {"source": "another edition"},
    ],
)
def test_an_acceptance_survives_other_words(change):
    assert finding(**change).fingerprint == finding().fingerprint


def test_the_order_of_inputs_does_not_matter():
    one, other = finding(inputs={"a": 1, "b": 2}), finding(inputs={"b": 2, "a": 1})
    assert one.fingerprint == other.fingerprint


def test_what_both_views_find_is_one_finding():
    (merged,) = merge([finding(), finding(views=frozenset({"packed"}))])
    assert merged.views == {"design", "packed"}


def test_the_verdict_is_the_worst_severity():
    assert verdict([]) == "nothing-found"
    assert [verdict([*pair]) for pair in pairwise(SEVERITIES)] == ["unknown", "caution", "stop"]
    assert verdict(["stop", "note"]) == "stop"


def test_each_view_has_its_own_verdict():
    result = run(kit({"a": At(switch(), unit=unit_of(switch(), state="held-back"))}), NOW)
    assert result.verdicts["design"] == "nothing-found"
    assert result.verdicts["packed"] == "stop"
    assert result.verdict == "stop"


def mixed():
    things = {"case": spec("case", "case", panel(4)), "switch A": switch(65), "switch B": switch(None)}
    things |= {f"camera {n}": camera(4) for n in span(3)}
    things["spare"] = At(camera(4), role="spare", empty=True)
    old = camera(4)
    things["old"] = At(old, unit=unit_of(old, inspection_due_at=NOW - timedelta(days=1)))
    links = [f"switch A:{n} - camera {n}:net" for n in span(3)] + ["switch B:1 - old:net"]
    return kit(things, links)


def test_findings_are_worst_first_in_one_order():
    wired = mixed()
    found = run(wired, NOW).findings
    ranks = [SEVERITIES.index(f.severity) for f in found]
    assert ranks == sorted(ranks, reverse=True)
    assert len(set(ranks)) == 4
    assert found == run(wired, NOW).findings
    turned = replace(wired, links=tuple(reversed(wired.links)))
    assert [f.fingerprint for f in run(turned, NOW).findings] == [f.fingerprint for f in found]


def test_a_kit_that_is_packed_as_planned_is_not_asked_twice_in_vain():
    """What is left out for a sound kit would have answered the same."""
    things = {**{f"camera {n}": camera(4) for n in span(3)}, "switch A": switch(65), "switch B": switch(None)}
    old = camera(4)
    things["old"] = At(old, unit=unit_of(old, inspection_due_at=NOW, failed_inspection=True, state="held-back"))
    links = [f"switch A:{n} - camera {n}:net" for n in span(3)] + ["switch B:1 - old:net", "switch B:5 - switch B:6"]
    sound = kit(things, links)
    packed = wire([sound], view="packed", as_of=NOW)
    assert packed.is_as_planned
    asked = merge(evaluate(packed, CHECKS.values()))
    told = [f for f in run(sound, NOW).findings if "packed" in f.views]
    assert [(f.fingerprint, f.severity) for f in asked] == [(f.fingerprint, f.severity) for f in told]
    assert len(asked) >= 5


def test_every_finding_says_what_it_hangs_on():
    for found in run(mixed(), NOW).findings:
        assert set(found.basis) == set(PROVENANCES)
        assert sum(found.basis.values()) <= len(found.inputs)
        assert found.message.endswith(".")
        assert found.message[0].isupper()
        assert found.severity in SEVERITIES
        assert found.source
        if found.limit is not None:
            assert found.unit


def test_provenance_is_counted():
    measured = replace(switch(65), provenance={"poe.budget_w": "measured"})
    things = {"switch A": measured, **{f"camera {n}": camera(4) for n in span(3)}}
    found = only(kit(things, [f"switch A:{n} - camera {n}:net" for n in span(3)]), "poe-budget-exceeded")
    assert found.basis["measured"] == 1


def test_a_margin_is_the_way_to_the_limit():
    for found in run(rig(4, 4, 4), NOW).findings:
        assert found.margin is None or abs(found.margin) == pytest.approx(abs(found.value - found.limit))


def test_the_register_refuses_what_is_not_a_check():
    def nothing(wired: object) -> Iterator[Draft]:
        """It never holds."""
        yield from ()

    for code, severity, fault in (
        ("poe-reduced", "stop", "registered twice"),
        ("new-one", "terrible", "may only use"),
        ("new-one", (), "may only use"),
    ):
        with pytest.raises(ValueError, match=fault):
            check(code, severity, "—")(nothing)
    nothing.__doc__ = None
    with pytest.raises(ValueError, match="docstring"):
        check("new-one", "stop", "—")(nothing)
    assert "new-one" not in CHECKS


def test_the_table_has_a_row_for_each_check():
    rows = markdown_table().splitlines()
    assert rows[0] == "| code | severity | holds when | source |"
    assert [row.split(" | ")[0].removeprefix("| ") for row in rows[2:]] == list(CHECKS)
    assert all(row.count(" | ") == 3 for row in rows)


def test_a_sound_case_shows_at_most_three_lines():
    """A network case with a panel, two sources and five devices, every number known."""
    things = {"case": spec("case", "case", panel(8)), "switch A": switch(65), "switch B": switch(120)}
    links = [
        f"switch {letter}:{n} - case:LAN {n + offset} rear" for letter, offset in (("A", 0), ("B", 4)) for n in span(4)
    ]
    things |= {f"camera {n}": camera(4) for n in span(5)}
    links += [f"camera {n}:net - case:LAN {hole}" for n, hole in zip(span(5), (1, 2, 5, 6, 7), strict=True)]
    result = run(kit(things, links, exposed_retention="latch"), NOW)
    assert [f.code for f in result.findings] == []
    assert result.verdict == "nothing-found"
