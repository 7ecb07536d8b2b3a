"""One entry of a line: names, a connector, and what its words say of it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from operator import itemgetter
from typing import Any

from calc.connector_words import ALIASES, BY_DIRECTION
from calc.connectors import Connector, all_connectors
from calc.connectors import connector as connector_of
from calc.ports_text.items import POWER_ITEMS, SOURCE_ITEMS, item
from calc.ports_text.words import LONGEST_NAME, UnreadText, Word

USUAL_BARREL = "dc-5.5x2.1"
THROUGH = "through"

_SPEEDS_MBPS: Mapping[str, tuple[float, ...]] = {
    "ethernet": (10, 100, 1000, 2500, 5000, 10_000, 25_000, 40_000),  # IEEE 802.3
    "fibre": (100, 1000, 10_000, 25_000, 40_000, 50_000, 100_000, 200_000, 400_000),  # IEEE 802.3
    # SMPTE ST 259 to 2082-1, by their nominal and their everyday rates; HDMI from memory
    "video": (270, 1485, 1500, 2970, 3000, 5940, 6000, 10_200, 11_880, 12_000, 18_000, 48_000),
    "usb": (12, 480, 5000, 10_000, 20_000, 40_000),  # IEC 62680, from memory
}
_POWER_CARRIERS = ("mains", "dc", "usb", "ethernet")
_WATTS_OTHERWISE = ("amperes", "volt-amperes")


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry: what it says of the ports that it names."""

    names: Word | None
    """All that stands before the connector; None behind ``through``, where nothing need stand there."""
    connector: Connector
    said: dict[str, Any]
    """Item → its value, for the items that are there."""
    words: dict[str, Word]
    """Item → the word that said it."""
    behind: "Entry | None" = None
    """What each of its ports is joined to."""

    @property
    def carries(self) -> str:
        carried: str = self.said.get("signal", self.connector.carries)
        return carried

    @property
    def has_power(self) -> bool:
        """Tell whether its ports take or give mains or direct current."""
        if "class" in self.said:
            return False
        if not self.said.keys().isdisjoint(POWER_ITEMS):
            return True
        return "direction" in self.said and self.carries in ("mains", "dc", "usb")

    @property
    def role(self) -> str:
        usual = "out" if self.connector.role == "source" else "in"
        return "source" if self.said.get("direction", usual) == "out" else "load"


def read_entry(text: str, words: list[Word]) -> Entry:
    """Return what the words of an entry say.

    Raises:
        UnreadText: a word means nothing, contradicts another one, or does not belong to the connector.
    """
    place, connector = _connector(words)
    after, behind = words[place + 1 :], None
    turn = next((number for number, word in enumerate(after) if word.plain == THROUGH), None)
    if turn is not None:
        behind = _read_behind(text, after[turn], after[turn + 1 :])
        after = after[:turn]
    # The shorthand is a name as well as a connector where nothing stands before it.
    names = _names_before(text, words, place) if place else words[0]
    entry = Entry(names, connector, *_said(after), behind)
    other = BY_DIRECTION.get((words[place].plain, entry.said.get("direction", "")))
    if other is not None:
        entry = replace(entry, connector=connector_of(other))
    _refuse_what_does_not_belong(entry)
    return entry


def _names_before(text: str, words: list[Word], place: int) -> Word:
    return Word(text[words[0].column - 1 : words[place].column - 1], words[0].column)


def _said(words: list[Word]) -> tuple[dict[str, Any], dict[str, Word]]:
    """Return item → its value, and item → the word that said it."""
    said: dict[str, Any] = {}
    by_item: dict[str, Word] = {}
    for word in words:
        about, value = item(word)
        if about in said:
            raise word.unread(f"“{by_item[about].text}” has already said the {about}")
        said[about], by_item[about] = value, word
    return said, by_item


def _read_behind(text: str, turn: Word, words: list[Word]) -> Entry:
    """Return the entry behind ``through``: a connector, names before it if there are any, its side and its face."""
    if not words:
        raise turn.unread("say what the port is joined to, as in “through 8p8c”")
    found = _codes().get(words[0].plain)
    place, connector = (0, found) if found is not None else _connector(words)
    said, by_item = _said(words[place + 1 :])
    for about, word in by_item.items():
        if about not in ("side", "face"):
            raise word.unread("behind “through” stand names, a connector, its side and its face")
    entry = Entry(_names_before(text, words, place) if place else None, connector, said, by_item)
    _refuse_side(entry)
    return entry


def _codes() -> dict[str, Connector]:
    codes = {connector.code: connector for connector in all_connectors()}
    return codes | {word: codes[code] for word, code in ALIASES.items() if word not in codes}


def _connector(words: list[Word]) -> tuple[int, Connector]:
    """Return which word is the connector, and what it means."""
    codes = _codes()
    for place, word in enumerate(words[1:], start=1):
        if word.plain in codes:
            return place, codes[word.plain]
    for place, word in enumerate(words):
        if word.plain == "dc":
            return place, codes[USUAL_BARREL]
    if words[0].plain in codes:
        raise words[0].unread("a connector needs a name before it, as in “1-4 8p8c”")
    raise _no_connector(words, codes)


def _no_connector(words: list[Word], codes: Iterable[str]) -> UnreadText:
    """Blame the word that looks most like a code, or else the one that should have been a code."""
    tries = [word for word in words[1:6] if len(word.text) < LONGEST_NAME]
    alike = [(SequenceMatcher(a=code, b=word.plain).ratio(), word, code) for word in tries for code in codes]
    likeness, word, code = max(alike, key=itemgetter(0), default=(0.0, words[0], ""))
    if likeness >= 0.75:
        return word.unread(f"no connector has this code; the nearest is “{code}”")
    return words[min(1, len(words) - 1)].unread(
        "after its names an entry needs the code of a connector, as in “1-4 8p8c”"
    )


def _refuse_side(entry: Entry) -> None:
    if "side" in entry.said and entry.said["side"] not in entry.connector.sides:
        raise entry.words["side"].unread(f"{entry.connector.code} is only a {entry.connector.sides[0]}")


def _refuse_what_does_not_belong(entry: Entry) -> None:
    said, words, carries = entry.said, entry.words, entry.carries
    _refuse_side(entry)
    if "speed" in said and said["speed"] not in _SPEEDS_MBPS.get(carries, ()):
        raise words["speed"].unread(f"{carries} has no such speed")
    if "class" in said and carries != "ethernet":
        raise words["class"].unread(f"a class belongs to Ethernet, and this port carries {carries}")
    if "class" in said and "direction" not in said:
        raise words["class"].unread("say whether the class goes in or out, as in “class4 out”")
    if "direction" in said and "class" not in said and not entry.has_power:
        raise words["direction"].unread("in and out belong to a class, volts or watts")
    _refuse_power(entry)
    own = next((word for about, word in words.items() if about in ("class", "direction", *POWER_ITEMS)), None)
    if entry.behind is not None and own is not None:
        raise own.unread("a port that is joined to another takes and gives nothing of its own")


def _refuse_power(entry: Entry) -> None:
    said, words = entry.said, entry.words
    for about in POWER_ITEMS:
        if about in said and "class" in said:
            raise words[about].unread("a port has a class or volts and watts of its own, not both")
        if about in said and entry.carries not in _POWER_CARRIERS:
            raise words[about].unread(f"this port carries {entry.carries}, which feeds nothing")
    ways = [about for about in ("watts", *_WATTS_OTHERWISE) if about in said]
    if len(ways) > 1:
        raise words[ways[1]].unread(f"“{words[ways[0]].text}” has already said the power")
    if "amperes" in said and "volts" not in said:
        raise words["amperes"].unread("amperes need volts beside them, as in “100-240V 2A”")
    for about in SOURCE_ITEMS:
        if about in said and entry.role != "source":
            raise words[about].unread("it belongs to a port that gives power: say “out”")
    if "leg" in said and (entry.carries != "mains" or (entry.connector.phases or 1) > 1):
        raise words["leg"].unread("only a single-phase outlet of mains hangs on one leg, or between two")
