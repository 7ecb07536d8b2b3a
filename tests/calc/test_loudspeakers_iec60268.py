"""Loudspeakers and their leads. IEC 60268-3 and -5: damping factor, nominal impedance (from memory); Kirchhoff."""

from math import log10

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.loudspeakers import over_lead, parallel_ohm

OHMS = st.floats(1, 1000)


@pytest.mark.parametrize(
    ("speakers_ohm", "together_ohm"), [([8], 8), ([8, 8], 4), ([8, 8, 8], 8 / 3), ([4, 8], 8 / 3), ([16, 16, 8], 4)]
)
def test_loudspeakers_side_by_side(speakers_ohm, together_ohm):
    assert parallel_ohm(speakers_ohm) == pytest.approx(together_ohm)


@given(st.lists(OHMS, min_size=1, max_size=8))
def test_together_they_are_less_than_the_least_and_draw_the_sum(speakers_ohm):
    together = parallel_ohm(speakers_ohm)
    assert together <= min(speakers_ohm) * (1 + 1e-9)
    assert 1 / together == pytest.approx(sum(1 / ohm for ohm in speakers_ohm))


@pytest.mark.parametrize(
    ("speaker_ohm", "lead_ohm", "loss_db", "damping"),
    [
        (8, 0.8, 20 * log10(1.1), 10),  # a tenth of the impedance: 0.83 dB
        (4, 4, 6.0206, 1),  # half of the voltage arrives
    ],
)
def test_what_a_lead_takes(speaker_ohm, lead_ohm, loss_db, damping):
    lead = over_lead(speaker_ohm, lead_ohm)
    assert lead.loss_db == pytest.approx(loss_db, abs=1e-4)
    assert lead.damping == pytest.approx(damping)


def test_no_lead_takes_nothing_and_damps_without_end():
    assert over_lead(8, 0).loss_db == 0
    assert over_lead(8, 0).damping is None


@pytest.mark.parametrize("speakers_ohm", [[], [8, 0], [8, -4], 8])
def test_what_no_loudspeaker_is(speakers_ohm):
    with pytest.raises(BadInput):
        parallel_ohm(speakers_ohm)
