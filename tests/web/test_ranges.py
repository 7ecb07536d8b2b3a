"""A figure of which only the ends are known: drawn against its limit, said aloud, and in the row of its finding."""

import re
from dataclasses import replace

import pytest

from calc.rig.kit import PortPoe
from inventory.checks.drain import drain
from inventory.services.specs import edit_spec
from tests.web.company import ethernet, stage_case, write
from tests.web.reading import text
from web.components.bars import bar, settled_by
from web.components.ranges import between, decides, margins


def ends(low, high):
    return {"low": low, "high": high}


ACROSS = ends(50.2, 76.2)


def drawn(low, high, limit, *, value=None, at_least=False):
    return bar(value=value, limit=limit, unit="W", at_least=at_least, ends=ends(low, high))


def test_across_the_limit_ink_ends_at_the_lower_end_and_the_box_crosses_the_post():
    """50.2 of 65 W stand at 57.9 % of the width, where 75 % is the limit, and 76.2 W at 87.9 %."""
    figure = drawn(50.2, 76.2, 65)
    assert (figure.ink_from, round(figure.ink, 1), figure.over) == (0, 57.9, 0)
    assert (round(figure.box_from, 1), round(figure.box_end, 1), figure.open_end) == (57.9, 87.9, "")
    assert (figure.margin, figure.colour) == ("not known", "unknown")


def test_within_the_limit_the_margin_is_that_of_the_upper_end():
    figure = drawn(20, 48, 65)
    assert (figure.margin, figure.colour, figure.over) == ("17 W or more left", "", 0)


def test_beyond_the_limit_the_lower_end_is_over_for_sure():
    figure = drawn(71, 82, 65)
    assert (figure.ink, round(figure.over, 1), figure.margin, figure.colour) == (75, 6.9, "6 W or more over", "stop")


def test_an_open_end_runs_off_the_right():
    figure = drawn(10, None, 16)
    assert (round(figure.box_from, 1), figure.box_end, figure.open_end) == (46.9, 100, "right")


def test_a_least_value_has_its_ink_beyond_the_post():
    """Nothing is surely beyond the post at 40.8 of at least 42.5; at 45, 79.4 % are; below 41 all lacks 1.5."""
    across, kept, missed = (drawn(low, high, 42.5, at_least=True) for low, high in ((40.8, 50), (45, 50), (38, 41)))
    assert (across.ink, across.over, across.margin) == (0, 0, "not known")
    assert (kept.ink_from, round(kept.ink, 1), kept.margin) == (75, 4.4, "2.5 W or more left")
    assert (round(missed.over_from, 1), round(missed.over, 1), missed.margin) == (72.4, 2.6, "1.5 W or more short")


def test_a_decided_finding_keeps_the_margin_of_its_value():
    figure = drawn(64, 90, 63, value=90.0)
    assert (figure.margin, figure.colour, figure.spoken) == ("27 W over", "stop", "between 64 and 90 W of 63 W")


def test_of_what_nothing_is_known_the_box_fills_the_bar():
    assert drawn(0, None, 65) == bar(value=None, limit=65, unit="W")
    assert not drawn(0, None, 65).known


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (ACROSS, "between 50.2 and 76.2 W"),
        (ends(10, None), "10 W or more"),
        (ends(None, 5), "5 W or less"),
        (ends(0, None), "not known"),
    ],
)
def test_a_range_in_words(given, words):
    assert between(given, "W") == words


@pytest.mark.parametrize(
    ("given", "at_least", "words"),
    [
        (ACROSS, False, "14.8 W left to 11.2 W over"),
        (ends(20, 48), False, "17 to 45 W left"),
        (ends(70, 80), False, "5 to 15 W over"),
        (ends(10, None), False, "55 W left or less"),
        (ends(70, None), False, "5 W over or more"),
        (ends(0, None), False, "not known"),
        (ends(60, 70), True, "5 W left to 5 W short"),
        (ends(60, None), True, "5 W short or less"),
        (ends(70, None), True, "5 W left or more"),
    ],
)
def test_the_way_to_the_limit_at_both_ends(given, at_least, words):
    assert margins(given, 65, "W", at_least=at_least) == words


@pytest.mark.parametrize(
    ("unlocks", "label", "words"),
    [
        ("ports.net.poe.class", "camera 4", "class of camera 4 decides"),
        ("power.rated_a", "supply B", "rated current of supply B decides"),
        ("cable.length_m", "camera 1", "length of a lead at camera 1 decides"),
        ("kit.ambient_celsius", "", "ambient decides"),
        (None, "camera 4", ""),
    ],
)
def test_the_number_that_settles_it_is_named(unlocks, label, words):
    assert decides(unlocks, label) == words


def test_it_is_said_aloud():
    figure = settled_by(bar(value=None, limit=65.0, unit="W", ends=ACROSS), "class of camera 4 decides")
    assert figure.spoken == "between 50.2 and 76.2 W of 65 W; class of camera 4 decides"


@pytest.mark.django_db
def test_the_row_of_an_undecided_finding_draws_its_range(reader) -> None:
    """Three cameras of no class hang on ports of class 4: at least 3 x 4 W, at most 3 x 30 W, of 65."""
    gear = stage_case()
    no_class = replace(ethernet("lan", poe="load"), poe=PortPoe(role="load", poe_class=None))
    write(None, lambda c: edit_spec(c, gear.specs["camera"], fields={"ports": (no_class,)}))
    drain(pause=lambda _: None)
    page = text(reader("viewer").get(f"/kits/{gear.kit}/"))
    assert 'aria-label="between 12 and 90 W of 65 W; class of camera 1 decides"' in page
    assert '<b class="unknown">not known</b>' in page
    assert "53 W left to 25 W over" in page


@pytest.mark.django_db
def test_the_page_of_components_shows_a_range_in_each_state(reader) -> None:
    page = text(reader("planner").get("/components/"))
    assert "between 50.2 and 76.2 W of 65 W; class of camera 4 decides" in page
    assert "17 W or more left" in page
    assert "14.8 W left to 11.2 W over" in page
    runs_on = re.search(r'aria-label="10 A or more of 16 A">(.*?)</svg>', page)
    assert runs_on is not None
    assert runs_on[1].count('<line class="nk"') == 2
