"""Published values as data: every example in tests/reference is called and compared.

A file holds ``constants`` (what the examples were made with) and ``examples``. An example is a ``call`` by dotted path
with keyword ``args`` and one outcome: ``expect``, compared exactly where ``tolerance`` is null and within ``tolerance``
where it is a number, of the whole answer or of the part named by ``get``; or ``raises``, an error of ``calc.errors``.
"""

import importlib
import json
from pathlib import Path

import pytest

import calc.errors

REFERENCE = Path(__file__).parent.parent / "reference"
FILES = sorted(REFERENCE.glob("*.json"))
EXAMPLE_KEYS = {"call", "args", "expect", "raises", "get", "tolerance", "source", "known"}


def read(path):
    return json.loads(path.read_text(encoding="utf-8"))


EXAMPLES = [
    pytest.param(example, id=f"{path.stem}-{place}-{example['call'].rpartition('.')[2]}")
    for path in FILES
    for place, example in enumerate(read(path)["examples"])
]


def function_of(call):
    module, _, name = call.rpartition(".")
    return getattr(importlib.import_module(module), name)


def part_of(answer, get):
    return answer[get] if isinstance(answer, dict) else getattr(answer, get)


def as_json(answer):
    """JSON has no tuples: sequences compare as lists, at any depth."""
    if isinstance(answer, (list, tuple)):
        return [as_json(item) for item in answer]
    if isinstance(answer, dict):
        return {key: as_json(item) for key, item in answer.items()}
    return answer


@pytest.mark.parametrize("example", EXAMPLES)
def test_the_call_answers_what_was_published(example):
    function = function_of(example["call"])
    if "raises" in example:
        with pytest.raises(getattr(calc.errors, example["raises"])):
            function(**example["args"])
        return
    answer = function(**example["args"])
    if "get" in example:
        answer = part_of(answer, example["get"])
    if example["tolerance"] is None:
        assert as_json(answer) == example["expect"]
    else:
        assert abs(answer - example["expect"]) <= example["tolerance"]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_value_says_where_it_was_published_and_how_it_is_known(path):
    content = read(path)
    assert set(content) == {"constants", "examples"}
    for entry in [*content["constants"].values(), *content["examples"]]:
        assert entry["source"].strip()
        assert entry["known"].strip()


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_has_one_outcome_and_no_key_that_nobody_reads(example):
    assert set(example) <= EXAMPLE_KEYS
    assert ("expect" in example) != ("raises" in example)
    assert ("tolerance" in example) == ("expect" in example)


def test_the_walk_finds_the_examples():
    """An empty folder, or one that is looked for in the wrong place, would pass everything above."""
    walked = {example.values[0]["call"].split(".")[1] for example in EXAMPLES}
    assert walked >= {"channel", "dmx", "streams", "addressing", "radio", "spares"}
