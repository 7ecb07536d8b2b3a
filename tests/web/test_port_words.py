"""Port names in sentences: set apart where a place of the kit stands before them, and nowhere else."""

import pytest

from tests.web.company import stage_case
from tests.web.reading import text
from web.components.port_words import ports_set_apart

PORTS = {"switch A": {"1", "10", "dc"}, "switch": {"A"}, "rack, box": {"LAN 1", "LAN 1 rear"}, "amp (left)": {"<in>"}}


def told(sentence: str) -> str:
    return str(ports_set_apart(PORTS)(sentence))


@pytest.mark.parametrize(
    ("sentence", "shown"),
    [
        ("Move it from switch A 1 to switch A 10.", "Move it from switch A [1] to switch A [10]."),
        ("rack, box LAN 1 rear holds.", "rack, box [LAN 1 rear] holds."),
        ("switch A 100 W", "switch A 100 W"),
        ("switch A sets aside 1 W", "switch A sets aside 1 W"),
        ("unswitch A 1", "unswitch A 1"),
        ("Camera 1 lan", "Camera 1 lan"),
    ],
)
def test_a_port_behind_its_place_is_set_apart(sentence: str, shown: str) -> None:
    assert told(sentence) == shown.replace("[", '<span class="port">').replace("]", "</span>")


def test_what_people_typed_stays_text() -> None:
    said = told("<b>amp (left) <in> is loose</b>")
    assert said == '&lt;b&gt;amp (left) <span class="port">&lt;in&gt;</span> is loose&lt;/b&gt;'


def test_nothing_is_set_apart_where_no_place_is_known() -> None:
    assert str(ports_set_apart({})("a < b")) == "a &lt; b"


@pytest.mark.django_db
def test_the_connections_of_a_kit_set_their_ports_apart(reader) -> None:
    page = text(reader("viewer").get(f"/kits/{stage_case().kit}/"))
    assert 'sound desk <span class="port">net</span>' in page
