"""The connections of a kit as lines that people type or paste, one each.

``case LAN 1 rear; switch A 1; Patch lead, 0.5 m; W-11; blue``: from, to, lead, what is written on it, tape. Cells of a
spreadsheet, which come with tabs between, are read alike; both ends may stand in the first cell with a dash between. A
run of ports meets a run as long: ``case LAN 1-4 rear; switch A 1-4``.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from calc.rig.kit import Kit, Link
from inventory.drawings.tape import COLOURS, tape
from inventory.services.links import EndDraft, LinkDraft
from web.named_ports import Named, NamedPorts, UnknownNamesError

BETWEEN = re.compile(r"\s+(?:-|–|to|>|→)\s+")
MOST_LINES = 1000


class UnreadLinesError(ValueError):
    """Some lines cannot be read; ``sentences`` says of each what to do."""

    def __init__(self, sentences: Sequence[str]) -> None:
        super().__init__(" ".join(sentences))
        self.sentences = list(sentences)


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkLines:
    """What lines may name: the ports of a kit, its leads, and types of leads."""

    ports: NamedPorts
    own_leads: Mapping[str, int]
    """Label of a place that holds a lead → its id."""
    types: Mapping[str, int]
    """Name of a type of lead → its id."""
    colours: frozenset[str]
    """Tapes that its leads have, beside those of the list."""

    def read(self, text: str) -> list[LinkDraft]:
        """Return the connections of a text, in order.

        Raises:
            UnreadLinesError: some lines name what is not there.
        """
        drafts: list[LinkDraft] = []
        wrong: list[str] = []
        for number, line in enumerate(text.splitlines(), start=1):
            if not line.strip():
                continue
            try:
                drafts += self._line(line, len(drafts))
            except (UnreadLinesError, UnknownNamesError) as error:
                wrong.append(f"Line {number}: {' '.join(error.sentences)}")
        if len(drafts) > MOST_LINES:
            wrong.append(f"A kit takes at most {MOST_LINES} connections.")
        if wrong:
            raise UnreadLinesError(wrong)
        return drafts

    def written(self, kit: Kit) -> str:
        """Return the connections of a kit as ``read`` takes them."""
        labels = {position.id: position.label for position in kit.positions}
        return "\n".join(self._written(link, labels) for link in kit.links)

    def told(self, drafts: Sequence[LinkDraft]) -> list[str]:
        """Return connections that were read as ``written`` would write them."""
        places, leads = self.ports.labels, {number: name for name, number in self.types.items()}
        return [
            "; ".join(
                [
                    *(f"{places[int(end.position)]} {end.port}" for end in (draft.a, draft.b)),
                    places[int(draft.cable)] if draft.cable is not None else leads.get(draft.cable_spec or 0, ""),
                    draft.label,
                    draft.colour,
                ]
            ).rstrip("; ")
            for draft in drafts
        ]

    def _written(self, link: Link, labels: Mapping[int, str]) -> str:
        ends = [f"{labels.get(end.position, '?')} {end.port}" for end in (link.a, link.b)]
        lead = labels.get(link.cable, "") if link.cable is not None else link.cable_spec.name if link.cable_spec else ""
        return "; ".join([*ends, lead, link.label, link.colour]).rstrip("; ")

    def _line(self, line: str, before: int) -> Iterator[LinkDraft]:
        cells = [cell.strip() for cell in re.split(r"\t|;", line)]
        a, b, rest = self._ends(cells)
        if len(a) != len(b):
            raise UnreadLinesError([f"{len(a)} ports on one side and {len(b)} on the other: they are to be as many."])
        lead, label, colour, *more = [*rest, "", "", ""]
        if any(more):
            raise UnreadLinesError(["After the tape nothing more is read: from; to; lead; written on it; tape."])
        cable, cable_spec = self._lead(lead)
        for one, other in zip(a, b, strict=True):
            yield LinkDraft(
                a=EndDraft(position=one[0], port=one[1]),
                b=EndDraft(position=other[0], port=other[1]),
                cable=cable,
                cable_spec=cable_spec,
                label=label,
                colour=self._colour(colour),
                field=str(before),
            )

    def _ends(self, cells: Sequence[str]) -> tuple[list[Named], list[Named], Sequence[str]]:
        """Return both ends, and the cells after them."""
        for between in BETWEEN.finditer(cells[0]):
            one, other = cells[0][: between.start()], cells[0][between.end() :]
            try:
                return self.ports.read(one), self.ports.read(other), cells[1:]
            except UnknownNamesError:
                continue
        if len(cells) < 2 or not cells[1]:
            raise UnreadLinesError(["Say both ends: case LAN 1 rear; switch A 1."])
        return self.ports.read(cells[0]), self.ports.read(cells[1]), cells[2:]

    def _lead(self, name: str) -> tuple[int | None, int | None]:
        """Return the place that the lead lies in, or its type."""
        key = name.casefold()
        if not key:
            return None, None
        own, types = ({each.casefold(): at for each, at in known.items()} for known in (self.own_leads, self.types))
        if key in own:
            return own[key], None
        if key in types:
            return None, types[key]
        raise UnreadLinesError([f"No lead of the kit and no type of lead is called {name}. Leave it empty for any."])

    def _colour(self, written: str) -> str:
        if written and not tape(written).code and written not in self.colours:
            raise UnreadLinesError([f"There is no tape {written}. Take one of {', '.join(COLOURS.values())}."])
        return written
