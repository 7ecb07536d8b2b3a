"""A severity: a shape first, then a word, colour last. There is no green one."""

from dataclasses import dataclass

from calc.vocabulary import NOTHING_FOUND


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """How a severity is drawn and called."""

    colour: str
    """Class of the colour, and the end of the symbol's name."""
    word: str
    one: str
    many: str

    @property
    def symbol(self) -> str:
        return f"s-{self.colour}"

    def words(self, count: int | None = None) -> str:
        """Return the word, or the word with how many there are."""
        if count is None:
            return self.word
        return f"{count} {self.one if count == 1 else self.many}"


MARKS = {
    "stop": Mark(colour="stop", word="Stop", one="stop", many="stops"),
    "caution": Mark(colour="caution", word="Caution", one="caution", many="cautions"),
    "unknown": Mark(colour="unknown", word="Not known", one="not known", many="not known"),
    "note": Mark(colour="note", word="Note", one="note", many="notes"),
    NOTHING_FOUND: Mark(colour="none", word="Nothing found", one="nothing found", many="nothing found"),
}
