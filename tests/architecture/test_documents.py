"""What the project's documents list is what the code has."""

from pathlib import Path

from inventory.base.errors import PROBLEMS
from inventory.base.problems import GENERAL

ROOT = Path(__file__).resolve().parents[2]
BEGIN, END = "<!-- problems: kept complete by tests/architecture/test_documents.py -->\n", "<!-- end of problems -->"


def problems_table() -> str:
    """Return the table of all types of problem, as DEVELOPERS.md has it."""
    kinds = [*PROBLEMS.values(), *GENERAL.values()]
    rows = [f"| `{kind.code}` | {kind.status} | {kind.title} |" for kind in sorted(kinds, key=lambda kind: kind.code)]
    return "\n".join(["| type | status | title |", "| --- | --- | --- |", *rows]) + "\n"


def test_every_type_of_problem_stands_in_the_page_for_developers():
    page = (ROOT / "DEVELOPERS.md").read_text()
    assert page.partition(BEGIN)[2].partition(END)[0] == problems_table()


def test_the_page_for_developers_names_every_room_that_exists():
    page = (ROOT / "DEVELOPERS.md").read_text()
    rooms = [folder.parent.name for folder in ROOT.glob("*/__init__.py")]
    assert {"calc", "inventory", "scheduling", "web", "config", "fixtures"} <= set(rooms)
    assert [room for room in rooms if f"`{room}/`" not in page] == []
