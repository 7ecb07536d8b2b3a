"""The links of a kit as a table: the same that the wiring drawing shows."""

from dataclasses import dataclass

from calc.rig.ends import End
from calc.rig.kit import Kit, Link
from inventory.drawings.tape import Tape, tape


@dataclass(frozen=True, slots=True)
class NamedEnd:
    """One end as people name it."""

    place: str
    port: str

    def __str__(self) -> str:
        return f"{self.place} {self.port}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkRow:
    id: int
    a: NamedEnd
    b: NamedEnd
    lead: str
    label: str
    tape: Tape


def link_rows(kit: Kit) -> tuple[LinkRow, ...]:
    """Return the kit's own links; those of kits nested in it stand on their pages."""
    labels = {position.id: position.label for position in kit.positions}
    return tuple(link_row(link, labels) for link in kit.links)


def link_row(link: Link, labels: dict[int, str]) -> LinkRow:
    lead = labels.get(link.cable, "") if link.cable is not None else link.cable_spec.name if link.cable_spec else ""
    return LinkRow(
        id=link.id,
        a=_end(link.a, labels),
        b=_end(link.b, labels),
        lead=lead,
        label=link.label,
        tape=tape(link.colour),
    )


def _end(end: End, labels: dict[int, str]) -> NamedEnd:
    return NamedEnd(labels.get(end.position, "?"), end.port)
