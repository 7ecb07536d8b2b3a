"""How a field of a data sheet is declared: once, where the dataclass has it.

``rated_a: float | None = number("rated current", "A", most=10_000)`` gives the field its type and its default, and
whatever the interface, the forms, the messages and the documentation need to know about it. They read it from
``calc.rig.field_table``.
"""

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Any

DECLARED = "declared"
"""Key of a dataclass field's metadata."""


class Takes(Enum):
    """What kind of value a field takes; the type of the field is ``takes.value | None``."""

    NUMBER = "float"
    WHOLE = "int"
    YES_OR_NO = "bool"
    TEXT = "str"


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """What is known about one field, apart from its value."""

    path: str
    """As provenance and findings name it: ``weight_kg``, ``power.max_w``."""
    words: str
    """What a technician calls it, in lower case, as in "the rated current of …"."""
    takes: Takes
    unit: str = ""
    least: float = 0
    most: float = 1_000_000
    """The largest number; of a text, the largest number of characters."""
    may_be_zero: bool = True
    """False where a zero is no fact about a thing: it is divided by, or is a way to say "not known"."""
    choices: tuple[str, ...] = ()
    """The values of a closed list; empty for any text."""
    matters_for: frozenset[str] = frozenset()
    """Kinds of spec of which this field says the most."""

    @property
    def sheet(self) -> str:
        """The sheet that has it; empty for a field of the spec itself."""
        return self.path.rpartition(".")[0]

    @property
    def name(self) -> str:
        return self.path.rpartition(".")[2]

    @property
    def heading(self) -> str:
        """The words as the beginning of a line."""
        return self.words[0].upper() + self.words[1:]

    @property
    def accepted(self) -> str:
        """What the field takes, in words: ``0.01 to 1``, ``yes or no``."""
        if self.choices:
            return ", ".join(self.choices)
        if self.takes is Takes.YES_OR_NO:
            return "yes or no"
        if self.takes is Takes.TEXT:
            return f"at most {self.most:g} characters"
        least = "above 0" if self.least == 0 and not self.may_be_zero else f"{self.least:,g}"
        bounds = f"{least} to {self.most:,.0f}"
        return f"{bounds}, whole" if self.takes is Takes.WHOLE else bounds

    @property
    def label(self) -> str:
        """The heading with the unit: ``Rated current, A``."""
        return f"{self.heading}, {self.unit}" if self.unit else self.heading


# The four that follow return ``dataclasses.field(…)``; it is typed as Any so that it can be the default of any field.


def number(
    words: str,
    unit: str = "",
    *,
    least: float = 0,
    most: float = 1_000_000,
    may_be_zero: bool = True,
    matters_for: tuple[str, ...] = (),
) -> Any:
    """Declare a number; ``least`` and ``most`` are allowed themselves."""
    return _declared(
        words=words,
        takes=Takes.NUMBER,
        unit=unit,
        least=least,
        most=most,
        may_be_zero=may_be_zero,
        matters_for=frozenset(matters_for),
    )


def whole(words: str, unit: str = "", *, least: int, most: int) -> Any:
    """Declare a whole number; ``least`` and ``most`` are allowed themselves."""
    return _declared(words=words, takes=Takes.WHOLE, unit=unit, least=least, most=most)


def yes_or_no(words: str) -> Any:
    """Declare something that a thing does or does not."""
    return _declared(words=words, takes=Takes.YES_OR_NO)


def text(words: str, *, longest: int = 20, choices: tuple[str, ...] = ()) -> Any:
    """Declare a text, or one value of a closed list."""
    return _declared(words=words, takes=Takes.TEXT, most=longest, choices=choices)


def _declared(**facts: Any) -> Any:
    return dataclasses.field(default=None, metadata={DECLARED: facts})


def declared_fields(dataclass_type: type, prefix: str = "") -> Iterator[Field]:
    """Return the declared fields of a dataclass in their order; those without words of their own are left out."""
    for each in dataclasses.fields(dataclass_type):
        if DECLARED in each.metadata:
            yield Field(path=prefix + each.name, **each.metadata[DECLARED])
