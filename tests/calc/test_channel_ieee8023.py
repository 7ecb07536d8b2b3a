"""Fibre runs against IEEE 802.3 and ANSI/TIA-568."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.channel import (
    FIBRE_APPLICATIONS,
    FIBRES,
    fibre_budget_db,
    fibre_loss_db,
    fibre_loss_limit_db,
    fibre_reach_m,
    optics_of,
)
from calc.errors import BadInput

CONSTANTS = json.loads((Path(__file__).parent.parent / "reference" / "channel.json").read_text())["constants"]
LOSS = CONSTANTS["fibre loss"]["value"]


@pytest.mark.parametrize(("application_and_fibre", "reach_m"), CONSTANTS["fibre reach m"]["value"].items())
def test_reach(application_and_fibre, reach_m):
    """IEEE 802.3z; IEEE 802.3 clause 52; the OM1/OM2 split of 10GBASE-SR from memory."""
    application, fibre = application_and_fibre.split()
    assert fibre_reach_m(fibre, application) == reach_m


@pytest.mark.parametrize("fibre", ["OS", "OS1", "OS2"])
def test_every_single_mode_fibre_reaches_as_far(fibre):
    """IEEE 802.3 clause 52 asks for single-mode fibre without naming a class."""
    assert fibre_reach_m(fibre, "10GBASE-LR") == 10000


@pytest.mark.parametrize("fibre", ["OM3", "OM4"])
def test_short_wavelength_gigabit_on_better_fibre(fibre):
    """IEEE 802.3z gives 550 m for 50 µm fibre and nothing more for a better one (from memory)."""
    assert fibre_reach_m(fibre, "1000BASE-SX") == 550


@pytest.mark.parametrize("fibre", ["OM1", "OM2", "OM3"])
def test_long_wavelength_gigabit_on_multimode(fibre):
    """IEEE 802.3z, from memory."""
    assert fibre_reach_m(fibre, "1000BASE-LX") == 550


@pytest.mark.parametrize(
    ("application", "fibre", "reach_m"),
    [
        ("40GBASE-SR4", "OM3", 100),  # IEEE 802.3 clause 86
        ("40GBASE-SR4", "OM4", 150),
        ("40GBASE-LR4", "OS2", 10_000),  # clause 87
        ("100GBASE-SR4", "OM3", 70),  # clause 95
        ("100GBASE-SR4", "OM4", 100),
        ("100GBASE-LR4", "OS2", 10_000),  # clause 88
        ("10GBASE-SR", "OM5", 400),  # clause 52: no more on OM5 than on OM4
        ("100BASE-FX", "OM1", 2_000),  # clause 26
        ("1000BASE-BX10", "OS2", 10_000),  # clause 58
    ],
)
def test_reach_of_faster_and_of_older_optics(application, fibre, reach_m):
    """IEEE 802.3 by the clauses named, from memory."""
    assert fibre_reach_m(fibre, application) == reach_m


def test_the_two_ends_of_one_fibre_send_different_light():
    """IEEE 802.3 clause 58, 1000BASE-BX10: 1310 nm one way and 1490 nm the other, over one fibre (from memory)."""
    both_ways = optics_of("1000BASE-BX10")
    assert (both_ways.sends_nm, both_ways.fibres) == ((1310, 1490), 1)
    assert (optics_of("10GBASE-LR").sends_nm, optics_of("10GBASE-LR").fibres) == ((1310,), 2)


def test_every_application_runs_on_some_fibre_and_may_lose_some_light():
    for application in FIBRE_APPLICATIONS:
        fitting = [fibre for fibre in FIBRES if _runs(fibre, application)]
        assert fitting, application
        assert all(fibre_loss_limit_db(fibre, application) > 1 for fibre in fitting)


def _runs(fibre, application):
    try:
        return fibre_reach_m(fibre, application) > 0
    except BadInput:
        return False


@pytest.mark.parametrize(
    ("fibre", "application", "argument"),
    [
        ("OS2", "10GBASE-SR", "fibre"),
        ("OM3", "10GBASE-LR", "fibre"),
        ("OM9", "10GBASE-SR", "fibre"),
        ("om3", "10GBASE-SR", "fibre"),
        ("OM3", "10GBASE-T", "application"),
    ],
)
def test_what_the_standard_does_not_have_is_named(fibre, application, argument):
    with pytest.raises(BadInput) as error:
        fibre_reach_m(fibre, application)
    assert error.value.argument == argument


def test_a_refusal_names_the_fibres_that_would_do():
    with pytest.raises(BadInput, match="10GBASE-SR runs on: 'OM1', 'OM2', 'OM3', 'OM4'"):
        fibre_reach_m("OS2", "10GBASE-SR")


@pytest.mark.parametrize(("length_m", "fibre", "printed_db"), [(33, "OM1", 1.6), (82, "OM2", 1.8), (300, "OM3", 2.6)])
def test_loss_agrees_with_the_printed_channel_insertion_loss(length_m, fibre, printed_db):
    """IEEE 802.3 clause 52, 10GBASE-SR: channel insertion loss with 1.5 dB of connectors (from memory)."""
    assert fibre_loss_db(length_m, fibre, 850) == pytest.approx(printed_db, abs=0.051)


@pytest.mark.parametrize(
    ("fibre", "application", "wavelength_nm"),
    [
        *[(fibre, "10GBASE-SR", 850) for fibre in ("OM1", "OM2", "OM3", "OM4")],
        ("OM1", "1000BASE-SX", 850), ("OM2", "1000BASE-SX", 850), ("OM2", "1000BASE-LX", 1300),
    ],
)  # fmt: skip
def test_what_may_be_lost_is_what_the_longest_run_loses(fibre, application, wavelength_nm):
    """IEEE 802.3: channel insertion loss is the glass of the longest run and 1.5 dB of connections (from memory)."""
    limit_db = fibre_loss_limit_db(fibre, application)
    assert limit_db == pytest.approx(fibre_loss_db(fibre_reach_m(fibre, application), fibre, wavelength_nm), abs=0.14)


def test_what_single_mode_may_lose():
    """IEEE 802.3, from memory."""
    assert [fibre_loss_limit_db("OS2", name) for name in ("1000BASE-LX", "10GBASE-LR", "10GBASE-ER")] == [
        4.57,
        6.2,
        10.9,
    ]
    with pytest.raises(BadInput):
        fibre_loss_limit_db("OS2", "10GBASE-SR")


@pytest.mark.parametrize(
    ("arguments", "loss_db"),
    [
        ({"length_m": 1000, "fibre": "OM3", "wavelength_nm": 850}, LOSS["multimode dB/km 850/1300"][0]),
        ({"length_m": 1000, "fibre": "OM3", "wavelength_nm": 1300}, LOSS["multimode dB/km 850/1300"][1]),
        ({"length_m": 1000, "fibre": "OS2", "wavelength_nm": 1310}, LOSS["single mode dB/km"]),
        ({"length_m": 1000, "fibre": "OS2", "wavelength_nm": 1550}, LOSS["single mode dB/km"]),
        ({"length_m": 0, "fibre": "OM3", "wavelength_nm": 850, "mated_pairs": 3}, 3 * LOSS["mated pair dB"]),
        ({"length_m": 0, "fibre": "OM3", "wavelength_nm": 850, "splices": 2}, 2 * LOSS["splice dB"]),
        (
            {"length_m": 0, "fibre": "OM3", "wavelength_nm": 850, "expanded_beam_pairs": 2},
            2 * LOSS["expanded beam pair dB"],
        ),
    ],
)
def test_loss_of_each_part(arguments, loss_db):
    """ANSI/TIA-568, from memory; expanded beam is common practice."""
    assert fibre_loss_db(**{"mated_pairs": 0} | arguments) == pytest.approx(loss_db)


@given(st.floats(0, 20000), st.floats(0, 20000), st.sampled_from(FIBRES), st.integers(0, 9), st.integers(0, 9))
def test_losses_add_up(one_m, other_m, fibre, pairs, splices):
    wavelength_nm = 1310 if fibre.startswith("OS") else 1300
    whole_db = fibre_loss_db(one_m + other_m, fibre, wavelength_nm, pairs, splices)
    first_db = fibre_loss_db(one_m, fibre, wavelength_nm, pairs, 0)
    second_db = fibre_loss_db(other_m, fibre, wavelength_nm, 0, splices)
    assert whole_db == pytest.approx(first_db + second_db)


@pytest.mark.parametrize(("fibre", "wavelength_nm"), [("OM3", 1310), ("OS2", 850), ("OS2", 1300)])
def test_a_wavelength_that_the_fibre_has_no_figure_for_is_named(fibre, wavelength_nm):
    with pytest.raises(BadInput) as error:
        fibre_loss_db(10, fibre, wavelength_nm)
    assert error.value.argument == "wavelength_nm"


class TestBudget:
    """Link power budget, IEEE 802.3 clause 52: launch power − loss ≥ sensitivity; figures of 10GBASE-LR from memory."""

    def test_by_hand(self):
        budget = fibre_budget_db(loss_db=6.2, transmit_min_dbm=-8.2, receive_min_dbm=-14.4)
        assert budget.available_db == pytest.approx(6.2)
        assert budget.margin_db == pytest.approx(0)
        assert budget.overload_margin_db is None

    def test_a_budget_used_up_to_the_last_decibel_holds(self):
        budget = fibre_budget_db(
            loss_db=6.0, transmit_min_dbm=-8.0, receive_min_dbm=-14.0, transmit_max_dbm=0.5, receive_max_dbm=0.5
        )
        assert (budget.margin_db, budget.overload_margin_db, budget.ok) == (0, 0, True)

    @pytest.mark.parametrize("maximum", [{"transmit_max_dbm": 4.0}, {"receive_max_dbm": -1.0}])
    def test_one_maximum_alone_says_nothing_about_too_much_light(self, maximum):
        budget = fibre_budget_db(loss_db=5.0, transmit_min_dbm=-4.7, receive_min_dbm=-15.8, **maximum)
        assert budget.overload_margin_db is None
        assert budget.ok

    def test_too_little_light(self):
        budget = fibre_budget_db(loss_db=7.0, transmit_min_dbm=-8.0, receive_min_dbm=-14.0)
        assert (budget.margin_db, budget.ok) == (-1.0, False)

    def test_long_range_optics_blind_a_near_receiver(self):
        """A transmitter of up to +4 dBm into a receiver that bears −1 dBm: 5 dB too much, an attenuator of 5 helps."""
        arguments = {"loss_db": 5.0, "transmit_min_dbm": -4.7, "receive_min_dbm": -15.8}
        maxima = {"transmit_max_dbm": 4.0, "receive_max_dbm": -1.0}
        near = fibre_budget_db(**arguments, **maxima)
        assert (near.overload_margin_db, near.ok) == (-5.0, False)
        assert fibre_budget_db(**arguments, **maxima, least_loss_db=5.0).ok

    @pytest.mark.parametrize(
        ("changed", "argument"),
        [
            ({"loss_db": -1}, "loss_db"),
            ({"least_loss_db": 7}, "least_loss_db"),
            ({"transmit_max_dbm": -9}, "transmit_max_dbm"),
            ({"receive_max_dbm": -15}, "receive_max_dbm"),
        ],
    )
    def test_what_cannot_be_is_named(self, changed, argument):
        with pytest.raises(BadInput) as error:
            fibre_budget_db(**{"loss_db": 6.2, "transmit_min_dbm": -8.2, "receive_min_dbm": -14.4} | changed)
        assert error.value.argument == argument
