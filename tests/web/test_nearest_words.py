"""A line of ports that cannot be read: the nearest word is offered, one button takes it; connectors stand beside."""

import re
from html import unescape

import pytest

from calc.connectors import all_connectors
from inventory.services.specs import create_spec
from tests.web.company import write
from tests.web.reading import text, words
from web.nearest_words import nearest
from web.views.specs.new import read_back


def offered(line: str, kind: str = "switch") -> str | None:
    """Return the line that is offered instead."""
    found = read_back({"ports_text": line, "kind": kind}).nearest
    return found.line if found else None


@pytest.mark.parametrize(
    ("line", "instead"),
    [
        ("1-4 8p8c 1Gb class4 out", "1-4 8p8c 1G class4 out"),
        ("1-4 8p8c 2.5gbps", "1-4 8p8c 2.5G"),
        ("1-4 8p8 1G", "1-4 8p8c 1G"),
        ("in schuk 230V", "in schuko 230V"),
        ("dc 48-57volts 78W", "dc 48-57V 78W"),
        ("dc 48V 78w", "dc 48V 78W"),
        ("LAN 1-8 8p8c-rugged outsied", "LAN 1-8 8p8c-rugged outside"),
        ("1-4 8p8c 1G clas4 out; 5-8 8p8c 1G", "1-4 8p8c 1G class4 out; 5-8 8p8c 1G"),
    ],
)
def test_the_nearest_word_is_offered(line: str, instead: str) -> None:
    assert offered(line) == instead


@pytest.mark.parametrize("line", ["a 8p8c zzz", "1-4 8p8c 1G", "", "1-4 8p8c class4", "; ;", "1-4 8p8c 1G out out out"])
def test_nothing_is_offered_where_nothing_is_near_or_nothing_is_wrong(line: str) -> None:
    assert offered(line) is None


def test_a_word_is_offered_only_if_the_line_is_read_further_with_it() -> None:
    """A side that the connector does not have is near, and would be refused at the same place."""
    assert nearest("in hdmi-a plugg", 10, "switch") is None or offered("in hdmi-a plugg") != "in hdmi-a plugg"
    assert nearest("a 8p8c", 6, None) is None


@pytest.mark.django_db
def test_one_button_takes_the_word_and_what_else_was_typed_stays(reader) -> None:
    planner = reader("planner")
    typed = {"name": "Switch", "kind": "switch", "ports_text": "1-4 8p8 1G; dc 48V 78W", "verb": "read"}
    page = text(planner.post("/specs/new/", typed))
    assert "Read “8p8” as “8p8c”" in page
    mended = unescape(re.search(r'name="mended" value="([^"]*)"', page)[1])  # type: ignore[index]
    again = planner.post("/specs/new/", {**typed, "mended": mended, "verb": ""})
    assert again.status_code == 200
    assert "Read as 5 ports." in words(again)
    assert 'value="Switch"' in text(again)
    assert "1-4 8p8c 1G; dc 48V 78W</textarea>" in again.content.decode()


@pytest.mark.django_db
def test_every_connector_stands_beside_the_field(reader) -> None:
    planner = reader("planner")
    spec = write(None, lambda c: create_spec(c, fields={"name": "Box", "kind": "other"}))
    for address in ("/specs/new/", f"/specs/{spec}/ports/"):
        page = text(planner.get(address))
        assert [each.code for each in all_connectors() if f"<code>{each.code}</code>" not in page] == []
        assert "8P8C (RJ45) <small>rj45</small>" in page
