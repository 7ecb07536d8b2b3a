"""Classes, demotion and losses against the class tables of IEEE 802.3-2022 clauses 33 and 145."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from calc.errors import BadInput
from calc.poe import class_limits, device_power_w, granted_class, runs_on, source_power_w

REFERENCE = Path(__file__).parent.parent / "reference" / "poe.json"
PUBLISHED = json.loads(REFERENCE.read_text(encoding="utf-8"))["constants"]
TYPE_OF_CLASS = [1, 1, 1, 1, 2, 3, 3, 4, 4]

# Power demotion, second-hand: a source that cannot grant the class asked for grants 3, 4 or 6 at most what it has.
GRANTED = {
    (0, 3): 0, (3, 0): 3, (3, 3): 3, (4, 3): 3, (4, 0): 3, (5, 4): 4, (6, 5): 4, (6, 4): 4, (7, 6): 6, (7, 5): 4,
    (8, 7): 6, (8, 6): 6, (8, 4): 4, (8, 3): 3, (1, 8): 1, (2, 2): 2, (8, 8): 8,
    (2, 1): None, (3, 2): None, (0, 2): None, (4, 2): None, (8, 1): None,
}  # fmt: skip


@pytest.mark.parametrize("poe_class", range(9))
def test_a_class_has_its_published_limits(poe_class):
    limits = class_limits(poe_class)
    type_place = TYPE_OF_CLASS[poe_class] - 1
    assert limits.source_w == PUBLISHED["source_w by class 0-8"]["value"][poe_class]
    assert limits.device_w == PUBLISHED["device_w by class 0-8"]["value"][poe_class]
    assert limits.min_source_v == PUBLISHED["min source volts type 1/2/3/4"]["value"][type_place]
    assert limits.channel_ohm == PUBLISHED["channel loop ohm per pairset, type 1 / types 2-4"]["value"][type_place > 0]
    assert limits.pairs == (2 if poe_class <= 4 else 4)


@pytest.mark.parametrize(
    ("poe_class", "volts"), [(1, 37.0), (3, 37.0), (4, 42.5), (5, 44.3), (6, 42.5), (7, 42.9), (8, 41.1)]
)
def test_the_least_volts_at_a_device_are_the_printed_ones(poe_class, volts):
    """Clause 33: 37 V for type 1, 42.5 V for type 2; table 145-29 for classes 5 to 8 (8 from memory)."""
    assert class_limits(poe_class).min_device_v == volts


@pytest.mark.parametrize("poe_class", [0, 3, 4, 5, 6, 7, 8])
def test_the_least_volts_at_a_device_are_what_its_longest_channel_leaves(poe_class):
    """Source's least volts less I·R, the table cut to a tenth: 44 − 0.35·20, 50 − 0.6·12.5, 50 − 0.902·6.25 …"""
    limits = class_limits(poe_class)
    leaving_w = source_power_w(limits.device_w, limits.channel_ohm, limits.min_source_v, limits.pairs)
    loop_ohm = limits.channel_ohm * 2 / limits.pairs
    arriving_v = limits.min_source_v - leaving_w / limits.min_source_v * loop_ohm
    assert -1e-9 <= arriving_v - limits.min_device_v < 0.1


@pytest.mark.parametrize("poe_class", [1, 2])
def test_a_small_device_must_still_run_on_the_least_volts_of_its_type(poe_class):
    """Clause 33 asks all of type 1 to run from 37 V on, though its own current leaves more."""
    assert class_limits(poe_class).min_device_v == class_limits(3).min_device_v


@pytest.mark.parametrize("poe_class", range(9))
def test_the_table_agrees_with_itself_over_its_own_longest_channel(poe_class):
    """Printed watts are rounded; for class 5, 45 W at 50 V bring 39.94 W, and 40 is printed."""
    limits = class_limits(poe_class)
    arriving = device_power_w(limits.source_w, limits.channel_ohm, limits.min_source_v, limits.pairs)
    assert arriving == pytest.approx(limits.device_w, abs=0.07)


@pytest.mark.parametrize(("asked_and_port", "granted"), GRANTED.items())
def test_a_port_grants_what_it_has(asked_and_port, granted):
    assert granted_class(*asked_and_port) == granted


@pytest.mark.parametrize(
    ("poe_class", "granted", "reduced_class_ok", "runs"),
    [
        (4, 4, None, True),
        (3, 0, None, True),
        (4, 3, None, None),
        (4, 3, 3, True),
        (4, 3, 0, True),
        (4, 3, 4, False),
        (8, 4, 6, False),
        (8, 6, 4, True),
        (4, None, 1, False),
        (4, None, None, False),
    ],
)
def test_whether_a_device_runs_reduced_is_yes_no_or_not_known(poe_class, granted, reduced_class_ok, runs):
    assert runs_on(poe_class, granted, reduced_class_ok) is runs


@pytest.mark.parametrize("poe_class", [-1, 9, 3.0, "4", None, True])
def test_there_is_no_other_class(poe_class):
    with pytest.raises(BadInput) as caught:
        class_limits(poe_class)
    assert caught.value.argument == "poe_class"


def test_a_device_cannot_need_more_than_its_own_class():
    with pytest.raises(BadInput) as caught:
        runs_on(3, 3, 4)
    assert caught.value.argument == "reduced_class_ok"


@given(
    device_w=st.floats(0, 100), channel_ohm=st.floats(0, 20), source_v=st.floats(40, 57), pairs=st.sampled_from([2, 4])
)
def test_what_must_leave_arrives_again(device_w, channel_ohm, source_v, pairs):
    most_w = source_v**2 / (4 * channel_ohm * 2 / pairs) if channel_ohm else float("inf")
    if device_w > most_w:
        with pytest.raises(BadInput):
            source_power_w(device_w, channel_ohm, source_v, pairs)
        return
    leaving = source_power_w(device_w, channel_ohm, source_v, pairs)
    assert leaving >= device_w or leaving == pytest.approx(device_w)
    assert device_power_w(leaving, channel_ohm, source_v, pairs) == pytest.approx(device_w, abs=1e-6)


@given(device_w=st.floats(0.1, 71.3), channel_ohm=st.floats(0.1, 12.5), source_v=st.floats(52, 57))
def test_the_current_is_the_lower_root(device_w, channel_ohm, source_v):
    """scipy brackets the root between no current and the current of the most that the channel carries."""

    def missing_w(current_a):
        return current_a * (source_v - current_a * channel_ohm / 2) - device_w

    current_a = brentq(missing_w, 0, source_v / channel_ohm, xtol=1e-14)
    assert source_power_w(device_w, channel_ohm, source_v, pairs=4) == pytest.approx(current_a * source_v, rel=1e-9)


@pytest.mark.parametrize(
    ("argument", "changed"),
    [
        ("source_w", {"source_w": -1}),
        ("source_w", {"source_w": float("nan")}),
        ("source_w", {"source_w": 200}),  # 44²/20 = 96.8 W is a short circuit at the far end
        ("channel_ohm", {"channel_ohm": -0.1}),
        ("source_v", {"source_v": 0}),
        ("pairs", {"pairs": 3}),
    ],
)
def test_what_no_channel_has_is_refused(argument, changed):
    with pytest.raises(BadInput) as caught:
        device_power_w(**({"source_w": 15.4, "channel_ohm": 20, "source_v": 44} | changed))
    assert caught.value.argument == argument
