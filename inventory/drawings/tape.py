"""The colours that people give their leads and holes: their own data, never a sign of trouble."""

from dataclasses import dataclass

COLOURS = {
    "bk": "black",
    "bn": "brown",
    "rd": "red",
    "og": "orange",
    "ye": "yellow",
    "gn": "green",
    "bu": "blue",
    "vt": "violet",
    "gy": "grey",
    "wh": "white",
    "pk": "pink",
    "tq": "turquoise",
}
"""Letters of IEC 60757 → the word."""
WORDS = {**{word: code for code, word in COLOURS.items()}, "gray": "gy", "purple": "vt"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tape:
    """A strip of tape: a band of colour, where one was given, beside words."""

    code: str
    """Letters in small print (``bu``); empty where no colour of the list was given."""
    word: str
    """The colour in words, or the text that was entered."""

    @property
    def letters(self) -> str:
        return self.code.upper()


NO_TAPE = Tape(code="", word="")


def tape(written: str) -> Tape:
    """Return the tape for a colour as it was entered: letters of IEC 60757 or an English word, in any case."""
    key = written.strip().lower()
    code = key if key in COLOURS else WORDS.get(key, "")
    return Tape(code=code, word=COLOURS.get(code, written.strip()))
