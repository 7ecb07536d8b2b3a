"""The pages of the documentation about calc: their examples run, and they name what there is to name."""

import doctest
import re
from pathlib import Path

import pytest
from markdown_it import MarkdownIt

from calc.checking.table import markdown_table
from calc.checks import CHECKS
from tests.calc import published

FOLDER = Path(__file__).parents[2] / "web" / "docs"
PAGES = {path.name: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.md"))}
TABLE_PAGE = "20-checks.md"

ROOMS = {path.split(".")[1] for path in published.functions()}
NAMED_ROOM = re.compile(r"`calc\.(\w+)`")
THEMES = {name: text for name, text in PAGES.items() if NAMED_ROOM.search(text)}
"""A page is about calc if it names a module of it."""

CHAPTERS = {
    "power-over-ethernet", "runs", "mains", "heat", "lifting", "lighting-control", "streams", "addressing", "radio",
    "batteries", "spares", "connectors", "periods",
}  # fmt: skip
HAZARDS = {"power-over-ethernet", "mains", "heat", "lifting", "lighting-control", "radio", "batteries", "connectors"}

every_theme = pytest.mark.parametrize("name", sorted(THEMES))


def slug(name):
    return name.removesuffix(".md").split("-", 1)[1]


def examples(text):
    """The fenced blocks that hold prompts of the interpreter, whatever language they are marked with."""
    return [token for token in MarkdownIt().parse(text) if token.type == "fence" and ">>>" in token.content]


def chapter(text, title):
    """What stands under a heading of the second level, up to the next one."""
    found = re.search(rf"^## {title}\n(.+?)(?=^## |\Z)", text, re.MULTILINE | re.DOTALL)
    return found[1] if found else ""


def codes(text):
    return re.findall(r"`([^`]+)`", chapter(text, "Checks"))


def numbers(text):
    """The numbers in a text: 10 206 and 10_206 are one number, and the sign is left to the reader."""
    joined = re.sub(r"(?<=\d)[ _](?=\d{3}\b)", "", text)
    return re.findall(r"\d+(?:\.\d+)*", joined)


def test_each_theme_has_its_page():
    assert {slug(name) for name in THEMES} >= CHAPTERS


@every_theme
def test_the_examples_of_a_page_give_what_it_prints(name):
    blocks = examples(THEMES[name])
    assert [block.info for block in blocks] == ["python"], "one example on each page, marked as python"
    [block] = blocks
    example = doctest.DocTestParser().get_doctest(block.content, {}, name, str(FOLDER / name), block.map[0] + 1)
    said = []
    ran = doctest.DocTestRunner().run(example, out=said.append)
    assert ran.attempted > 0
    assert ran.failed == 0, "".join(said)


@every_theme
def test_what_an_example_prints_is_worked_by_hand_before_it(name):
    before, _, block = chapter(THEMES[name], "By hand").partition("```python\n")
    printed = [part.want for part in doctest.DocTestParser().get_examples(block.partition("```")[0])]
    by_hand = set(numbers(before))
    assert any(printed)
    assert [want for want in printed if not by_hand.issuperset(numbers(want))] == []


@every_theme
def test_a_page_tells_sources_cautions_and_checks(name):
    missing = [
        title for title in ("What is assumed", "Sources", "Cautions", "Checks") if not chapter(PAGES[name], title)
    ]
    assert missing == []
    assert re.search(r"\bsafe\b", PAGES[name], re.IGNORECASE) is None


@pytest.mark.parametrize("hazard", sorted(HAZARDS))
def test_where_it_can_hurt_somebody_else_decides(hazard):
    [text] = [text for name, text in THEMES.items() if slug(name) == hazard]
    assert re.search(r"\b(rules|local codes|law)\b", chapter(text, "Cautions"))


@pytest.mark.parametrize("room", sorted(ROOMS))
def test_every_module_of_functions_is_named_on_a_page(room):
    assert any(room in NAMED_ROOM.findall(text) for text in THEMES.values())


def test_the_pages_name_no_module_that_is_not_there():
    assert {room for text in THEMES.values() for room in NAMED_ROOM.findall(text)} <= ROOMS


def test_every_check_stands_once_in_the_table_and_in_no_table_by_hand():
    rows = [row.split(" | ")[0].removeprefix("| ") for row in markdown_table().splitlines()[2:]]
    assert sorted(rows) == sorted(CHECKS)
    assert [code for code in CHECKS if code in PAGES[TABLE_PAGE]] == []
    by_hand = [line for text in PAGES.values() for line in text.splitlines() if line.startswith("|")]
    assert [line for line in by_hand if any(code in line for code in CHECKS)] == []


@every_theme
def test_a_page_names_only_checks_of_the_register(name):
    assert [code for code in codes(THEMES[name]) if code not in CHECKS] == []


def test_every_check_that_cites_a_source_is_named_by_a_theme():
    named = {code for text in THEMES.values() for code in codes(text)}
    assert [check.code for check in CHECKS.values() if check.source != "—" and check.code not in named] == []
