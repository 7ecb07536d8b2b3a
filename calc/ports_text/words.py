"""The words of a line of ports, each with its column; and the names that a piece of it makes."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from calc.errors import BadInput

LONGEST_NAME = 60
LONGEST_TEXT = 10_000

BLANKS = " \t\r\n"


class UnreadText(BadInput):
    """A piece of a line of ports that means nothing.

    Carries the piece as ``text``, where it begins as ``column`` (the first is 1), and what is wrong as ``accepted``. A
    character that cannot be shown is given by its number, as ``U+0000``.
    """

    def __init__(self, column: int, text: str, why: str) -> None:
        super().__init__("text", text, why)
        self.args = (f"Column {column}: “{text}” cannot be read: {why}.",)
        self.column = column
        self.text = text


@dataclass(frozen=True, slots=True)
class Word:
    """One piece of a line, and where it begins."""

    text: str
    column: int

    @property
    def plain(self) -> str:
        """The word as codes and keywords are compared; a letter of another script never becomes one of ours."""
        return self.text.lower() if self.text.isascii() else self.text

    @property
    def stripped(self) -> "Word":
        """The word without the blanks after it."""
        return Word(self.text.rstrip(BLANKS), self.column)

    def unread(self, why: str) -> UnreadText:
        return UnreadText(self.column, self.text, why)


def checked(text: str) -> str:
    """Return a line that has nothing in it that cannot be shown, and is not too long."""
    if not isinstance(text, str):
        raise BadInput("text", text, "a line of text")
    for column, character in enumerate(text[: LONGEST_TEXT + 1], start=1):
        if not character.isprintable() and character not in BLANKS:
            raise UnreadText(column, f"U+{ord(character):04X}", "it is not a letter, a digit or a sign")
    if len(text) > LONGEST_TEXT:
        raise UnreadText(LONGEST_TEXT + 1, text[LONGEST_TEXT], f"a line has at most {LONGEST_TEXT} characters")
    return text


def entries(text: str) -> Iterator[list[Word]]:
    """Yield the words of each entry that has any."""
    for entry in re.finditer(r"[^;]+", text):
        found = re.finditer(f"[^{BLANKS}]+", entry[0])
        words = [Word(word[0], entry.start() + word.start() + 1) for word in found]
        if words:
            yield words


def names_in(names: Word) -> Iterator[tuple[str, Word]]:
    """Yield each name with the piece of the text that it comes from."""
    column = names.column
    for piece in names.text.split(","):
        text = piece.strip(BLANKS)
        if not text:
            raise UnreadText(max(column - 1, names.column), ",", "a name is missing beside the comma")
        word = Word(text, column + piece.index(text))
        for name in _range(word):
            yield name, word
        column += len(piece) + 1


def _range(word: Word) -> Iterator[str]:
    """Yield the names of a range, or the name itself."""
    text = " ".join(word.text.split())
    found = re.fullmatch(r"(|.*[^0-9.–-])([0-9]{1,4})[–-]([0-9]{1,4})(| .*)", text)
    before, first, last, after = found.groups() if found else (text, "", "", "")
    if any(re.search(r"[0-9][–-][0-9]", rest) for rest in (before, after)):
        raise word.unread("a range is two whole numbers of up to four digits, as in “1-4” or “LAN 1-4 rear”")
    if len(text) > LONGEST_NAME:
        raise word.unread(f"a name has at most {LONGEST_NAME} characters")
    if found is None:
        yield text
        return
    if int(first) > int(last):
        raise word.unread("a range begins with its lower number")
    for number in range(int(first), int(last) + 1):
        yield f"{before}{number:0{len(first)}}{after}"
