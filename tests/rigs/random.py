"""Judge rigs made up by chance: ``python -m tests.rigs.random 10000 [first]``.

Each has to get an answer in finite numbers: no crash, no "nan" or "inf", no power below nothing. Says which seed broke
what, so that ``made_up(seed)`` makes the same rig again.
"""

import sys
import traceback
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from math import isfinite

from calc.checking.findings import Finding, Result
from tests.rigs.calculated import judge
from tests.rigs.made_up import made_up

NEVER_NEGATIVE = ("W", "VA", "A", "mA", "kg", "Mb/s", "m", "Ω", "m³/h", "lx")
MOST_SHOWN = 20


def faults(seed: int) -> list[str]:
    """Return what is wrong with the answer about the rig of that number; nothing, if it is as it has to be."""
    try:
        result = judge(made_up(seed))
    except Exception:  # noqa: BLE001 - whatever it is, it is told with its seed
        return [f"{seed}: {traceback.format_exc(limit=-3)}"]
    return [f"{seed}: {what}" for what in _wrong(result)]


def _wrong(result: Result) -> Iterator[str]:
    for path, number in _numbers(result, "result"):
        if not isfinite(number):
            yield f"{path} is {number}"
    for name, figure in result.figures.items():
        if isinstance(figure, int | float) and figure < 0:
            yield f"figure {name} is {figure}"
    for finding in result.findings:
        yield from _wrong_finding(finding)


def _wrong_finding(finding: Finding) -> Iterator[str]:
    words = finding.message.lower().split()
    if {"nan", "inf", "-inf", "none", "-0"} & {word.strip(".,:;()") for word in words}:
        yield f"{finding.code} says “{finding.message}”"
    if finding.unit in NEVER_NEGATIVE:
        for name, number in (("value", finding.value), ("limit", finding.limit)):
            if number is not None and number < 0:
                yield f"{finding.code} has the {name} {number} {finding.unit}"


def _numbers(thing: object, path: str) -> Iterator[tuple[str, float]]:
    """Return every number in an answer, at whatever depth, with the way to it."""
    if isinstance(thing, bool):
        return
    if isinstance(thing, int | float):
        yield path, float(thing)
    elif is_dataclass(thing):
        for field in fields(thing):
            yield from _numbers(getattr(thing, field.name), f"{path}.{field.name}")
    elif isinstance(thing, dict):
        for key, value in thing.items():
            yield from _numbers(value, f"{path}.{key}")
    elif isinstance(thing, list | tuple):
        for item in thing:
            yield from _numbers(item, path)


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    found = [fault for seed in range(first, first + count) for fault in faults(seed)]
    print(f"{count} rigs from seed {first}: {len(found)} faults", *found[:MOST_SHOWN], sep="\n")  # noqa: T201
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
