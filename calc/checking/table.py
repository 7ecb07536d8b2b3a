"""The table of checks in the documentation, written from the register."""

from calc.checking.registry import CHECKS

HEAD = ("code", "severity", "holds when", "source")


def markdown_table() -> str:
    """Return the table of all checks, in the order of the register, ending with a line break."""
    rows = [
        (check.code, ", ".join(check.severities), check.holds_when.rstrip("."), check.source)
        for check in CHECKS.values()
    ]
    lines = [HEAD, tuple("---" for _ in HEAD), *rows]
    return "".join(f"| {' | '.join(cell.replace('|', '/') for cell in line)} |\n" for line in lines)
