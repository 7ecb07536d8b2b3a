"""What every public function of calc keeps to: its form, its source, its tests, and its answer to the impossible.

A function that lands without one of these fails here, by name.
"""

import ast
import doctest
import inspect
import re
import sys
from dataclasses import fields, is_dataclass
from math import inf, isfinite, nan
from pathlib import Path

import pytest

from calc.errors import BadInput
from tests.calc import published
from tests.calc.sample_calls import SAMPLE_CALLS

FUNCTIONS = published.functions()
MODULES = published.modules()

every_function = pytest.mark.parametrize("path", sorted(FUNCTIONS))
every_module = pytest.mark.parametrize("name", sorted(MODULES))

# The end of an argument's name → the units that its description may end in.
UNITS = {
    "m": {"m"}, "mm": {"mm"}, "cm": {"cm"}, "mm2": {"mm²"}, "m2": {"m²"}, "m3h": {"m³/h"},
    "w_m2k": {"W/(m²·K)"}, "w_m2": {"W/m²"},
    "w": {"W"}, "watts": {"W"}, "va": {"VA"}, "wh": {"Wh"}, "v": {"V"}, "volts": {"V"}, "a": {"A"}, "ma": {"mA"},
    "amp_hours": {"Ah"}, "ohm": {"Ω"}, "mohm": {"MΩ"}, "ohm_per_km": {"Ω/km"}, "c": {"°C", "K"}, "db": {"dB"},
    "dbm": {"dBm"}, "hz": {"Hz"}, "mhz": {"MHz"}, "fps": {"1/s"}, "mbps": {"Mb/s"}, "nm": {"nm"}, "ns": {"ns"},
    "us": {"µs"}, "ms": {"ms"}, "h": {"h"}, "days": {"d"}, "per_day": {"1/d"}, "per_min": {"1/min"}, "kg": {"kg"},
    "deg": {"°", "deg"}, "awg": {"AWG"},
}  # fmt: skip

# Arguments that are counts, shares, names of things in a standard, or things themselves.
PURE = {
    "a", "absorptance", "adapters", "airtime", "allotment", "application", "asked", "b", "between_lines", "bits",
    "bits_per_pixel", "block",
    "build", "channel", "channels", "circuits", "code", "confidence", "coupling", "curve", "device", "devices",
    "efficiency", "expanded_beam_pairs", "failures", "fibre", "from_", "granted", "height", "intervals",
    "lines", "lit_share", "loaded_conductors", "loads", "mated_pairs", "mcs", "name", "overhead", "pairs",
    "people", "phases", "effort", "signal",
    "poe_class", "port_class", "power_factor", "pulse_factor", "receivers", "reduced_class_ok", "requests", "rules",
    "segments", "side_a", "side_b", "slots", "source_port", "sources", "spans", "splices", "standard", "standing",
    "stranded", "streams", "system", "third_harmonic", "to", "units", "universe", "universes", "width",
}  # fmt: skip

OUTSIDE_LIBRARIES = {"scipy", "fluids", "networkx", "ortools", "ipaddress"}
CITATION = re.compile(
    r"\b(AES|ANSI|AS/NZS|ASTM|BS|EN|HSE|ICAO|IEC|IEEE|IETF|ISO|ITU|NEC|NEMA|NFPA|NIOSH|RFC|SMPTE|TIA|UL)\b"
    r"|[Cc]ommon practice|Kirchhoff|Kleinberg"
)

ALLOWED_IMPORTS = {"calc", "networkx", "ortools"} | set(sys.stdlib_module_names)


def test_the_walk_finds_the_functions():
    """A walk that finds nothing would pass everything below."""
    rooms = {path.split(".")[1] for path in FUNCTIONS}
    assert rooms >= {"addressing", "channel", "conductors", "connectors", "dmx", "radio", "spares", "streams"}
    assert "calc.channel.copper" in FUNCTIONS
    assert "calc.channel.Span" not in FUNCTIONS


class TestForm:
    @every_function
    def test_every_argument_and_the_answer_are_annotated(self, path):
        signature = inspect.signature(FUNCTIONS[path])
        annotations = [parameter.annotation for parameter in signature.parameters.values()]
        assert inspect.Signature.empty not in [*annotations, signature.return_annotation]

    @every_function
    def test_the_docstring_names_exactly_the_arguments(self, path):
        function = FUNCTIONS[path]
        assert list(published.documented_arguments(function)) == list(inspect.signature(function).parameters)

    @every_function
    def test_each_argument_is_described_with_its_unit_at_the_end(self, path):
        documented = published.documented_arguments(FUNCTIONS[path])
        assert [name for name, text in documented.items() if not re.search(r"\w.* \[[^\[\]]+\]$", text)] == []

    @every_function
    def test_an_argument_is_named_by_its_unit_or_is_a_pure_number_or_name(self, path):
        for name, text in published.documented_arguments(FUNCTIONS[path]).items():
            if name not in PURE:
                unit = text.rpartition("[")[2].rstrip("]").split(" ")[0]
                assert unit in unit_of(name), f"{name} is described in [{unit}]"

    @every_function
    def test_the_errors_are_told(self, path):
        """Exactly where the code can raise, and BadInput among them."""
        told = published.section(FUNCTIONS[path], "Raises")
        assert published.can_raise(FUNCTIONS[path]) == ("BadInput:" in told)

    @every_function
    def test_the_source_is_named(self, path):
        assert re.search(r"^Source: \S+", inspect.getdoc(FUNCTIONS[path]) or "", re.MULTILINE)

    @every_module
    def test_every_public_thing_has_a_docstring(self, name):
        own = [
            member
            for member_name, member in vars(MODULES[name]).items()
            if not member_name.startswith("_")
            and (inspect.isroutine(member) or inspect.isclass(member))
            and member.__module__ == name
        ]
        assert [thing.__name__ for thing in [MODULES[name], *own] if not documented(thing)] == []

    @every_module
    def test_examples_in_docstrings_hold(self, name):
        assert doctest.testmod(MODULES[name]).failed == 0


def unit_of(name):
    """The units of the longest ending that the name has: current_a → A, ohm_per_km → Ω/km."""
    parts = name.split("_")
    endings = ["_".join(parts[place:]) for place in range(len(parts))]
    return next((UNITS[ending] for ending in endings if ending in UNITS), set())


def documented(thing):
    """Dataclasses write a signature of their own where nobody wrote a docstring."""
    doc = inspect.cleandoc(thing.__doc__ or "")
    return bool(doc) and not doc.startswith(f"{thing.__name__}(")


class TestTests:
    @every_function
    def test_a_test_calls_it_and_cites_a_source(self, path):
        name = path.rpartition(".")[2]
        calling = [file for file in published.test_files(path) if name in published.called_names(file)]
        assert [file.name for file in calling if cites(file)], f"no test_{path.split('.')[1]}_*.py calls {name} citing"


def cites(path):
    return bool(CITATION.search(path.read_text(encoding="utf-8"))) or bool(imported(path) & OUTSIDE_LIBRARIES)


def imported(path):
    """The packages that a file imports, at whatever depth of its code."""
    tops = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            tops.update(alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            tops.add((node.module or "").split(".")[0])
    return tops


class TestPurity:
    @every_module
    def test_calc_stands_on_the_standard_library_and_two_solvers(self, name):
        assert imported(Path(MODULES[name].__file__)) <= ALLOWED_IMPORTS


every_sample = pytest.mark.parametrize(("path", "sample"), SAMPLE_CALLS, ids=[path for path, _ in SAMPLE_CALLS])

SIGNED = {"c", "dbm"}
"""Endings of the quantities that may well be negative."""

WRONG_WORDS = ("no such thing", "", None, 3, nan)
WRONG_WHOLE_NUMBERS = (-(10**9), 1.5, nan, inf, True, "1")
WRONG_NUMBERS = (nan, inf, -inf, True, "1")


def impossible_calls():
    """Every sample call with one of its arguments made impossible, once for each way of doing so."""
    for path, sample in SAMPLE_CALLS:
        annotations = inspect.get_annotations(FUNCTIONS[path], eval_str=True) if path in FUNCTIONS else {}
        for name in (name for name in sample if name in annotations):
            for wrong in impossible_values(name, annotations[name], sample[name]):
                yield pytest.param(
                    path, name, sample | {name: wrong}, id=f"{path.removeprefix('calc.')}-{name}={wrong!r}"
                )


def impossible_values(name, annotation, sound):
    if annotation in (float, float | None):
        yield from WRONG_NUMBERS
        if name.rpartition("_")[2] not in SIGNED:
            yield -1.0
    elif annotation in (int, int | None):
        yield from WRONG_WHOLE_NUMBERS
    elif annotation in (str, str | None):
        yield from (word for word in WRONG_WORDS if word is not None or annotation is str)
    elif isinstance(sound, list) and all(isinstance(item, float) for item in sound):
        yield from ([*sound, wrong] for wrong in (*WRONG_NUMBERS, -1.0))


def numbers_in(answer):
    """Every number in an answer, at whatever depth."""
    if isinstance(answer, (int, float)):
        yield answer
    elif is_dataclass(answer):
        yield from numbers_in([getattr(answer, field.name) for field in fields(answer)])
    elif isinstance(answer, dict):
        yield from numbers_in([*answer.keys(), *answer.values()])
    elif isinstance(answer, (list, tuple)):
        for item in answer:
            yield from numbers_in(item)


class TestImpossibleInput:
    @every_function
    def test_sample_calls_give_every_argument(self, path):
        given = [set(sample) for sampled, sample in SAMPLE_CALLS if sampled == path]
        assert given, f"write a call of {path} into sample_calls.py"
        assert set().union(*given) == set(inspect.signature(FUNCTIONS[path]).parameters)

    def test_every_sample_is_of_a_public_function(self):
        assert {path for path, _ in SAMPLE_CALLS} <= set(FUNCTIONS)

    @every_sample
    def test_the_sample_is_answered_in_finite_numbers(self, path, sample):
        assert all(isfinite(number) for number in numbers_in(FUNCTIONS[path](**sample)))

    @pytest.mark.parametrize(("path", "argument", "call"), list(impossible_calls()))
    def test_what_cannot_be_is_refused_by_name(self, path, argument, call):
        with pytest.raises(BadInput) as error:
            FUNCTIONS[path](**call)
        assert re.fullmatch(rf"{argument}([.\[].*)?", error.value.argument)

    @every_sample
    def test_zero_is_refused_or_answered_in_finite_numbers(self, path, sample):
        """Whether 0 means something is for each argument to say; dividing by it is never an answer."""
        for name in (name for name, value in sample.items() if type(value) in (int, float)):
            call = sample | {name: 0}
            assert refused(FUNCTIONS[path], call) or all(isfinite(n) for n in numbers_in(FUNCTIONS[path](**call)))


def refused(function, call):
    """Whether the call is refused, for one of its arguments: beside a 0 it may be another that can't be."""
    try:
        function(**call)
    except BadInput as error:
        return error.argument in call
    return False
