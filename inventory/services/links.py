"""Links of a kit: create, change, delete."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from inventory.base.errors import FieldProblem, InvalidError
from inventory.errors import PortTakenError
from inventory.models import Kit, Link, LinkEnd, Port, Position, Spec
from inventory.services.fetching import rows_named

Reference = int | str
"""A position of the kit: its id, or its label."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EndDraft:
    position: Reference
    port: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkDraft:
    """A link to be written."""

    a: EndDraft
    b: EndDraft
    cable: Reference | None = None
    cable_spec: int | None = None
    label: str = ""
    colour: str = ""
    field: str = ""
    """Path of its entry in the request body, for errors."""

    def path(self, name: str) -> str:
        return f"{self.field}.{name}" if self.field else name


def lay_links(kit: Kit, drafts: Sequence[LinkDraft]) -> list[Link]:
    """Create links between ports of a kit and return them in the order given.

    Raises:
        InvalidError: a position, port or cable does not exist, or an end meets itself; all are listed.
        PortTakenError: a port has a connection already.
    """
    if not drafts:
        return []
    rows_named(Spec, {draft.cable_spec for draft in drafts if draft.cable_spec is not None}, "cable_spec")
    holes = Holes.of(kit)
    problems = [problem for draft in drafts for problem in holes.problems(draft)]
    if problems:
        raise InvalidError("Some connections cannot be made; each is listed.", errors=problems)
    _refuse_taken_ports(holes, drafts)
    links = Link.objects.bulk_create(
        Link(
            kit=kit,
            cable_position=None if draft.cable is None else holes.position(draft.cable),
            cable_spec_id=draft.cable_spec,
            label=draft.label,
            colour=draft.colour,
        )
        for draft in drafts
    )
    _write_ends(holes, links, drafts)
    return links


def relay_link(kit: Kit, link: Link, draft: LinkDraft) -> None:
    """Replace the ends and cable of a link; it keeps its id.

    Raises:
        InvalidError, PortTakenError: as for new links.
    """
    link.ends.all().delete()
    holes = Holes.of(kit)
    rows_named(Spec, {draft.cable_spec} if draft.cable_spec is not None else set(), "cable_spec")
    if problems := holes.problems(draft):
        raise InvalidError("The connection cannot be made so.", errors=problems)
    _refuse_taken_ports(holes, [draft])
    link.cable_position = None if draft.cable is None else holes.position(draft.cable)
    link.cable_spec_id = draft.cable_spec
    link.label, link.colour = draft.label, draft.colour
    link.save()
    _write_ends(holes, [link], [draft])


def _write_ends(holes: "Holes", links: Sequence[Link], drafts: Sequence[LinkDraft]) -> None:
    LinkEnd.objects.bulk_create(
        LinkEnd(link=link, end=name, position=holes.position(end.position), port_name=end.port)
        for link, draft in zip(links, drafts, strict=True)
        for name, end in (("a", draft.a), ("b", draft.b))
    )


def _refuse_taken_ports(holes: "Holes", drafts: Sequence[LinkDraft]) -> None:
    taken = dict(holes.taken)
    for draft in drafts:
        for end in (draft.a, draft.b):
            position = holes.position(end.position)
            assert position is not None  # problems() has refused unknown positions
            key = (position.pk, end.port)
            if key in taken:
                raise PortTakenError(
                    f"Port {end.port} of {position.label} has a connection already.",
                    position=position.pk,
                    label=position.label,
                    port=end.port,
                    link=taken[key],
                )
            taken[key] = None


@dataclass(frozen=True, slots=True)
class Holes:
    """The ports of a kit's positions, by id and by label, and which of them have a link."""

    by_id: dict[int, Position]
    by_label: dict[str, Position]
    ports: dict[int, set[str]]
    """Position id → names of the ports of what is planned, or packed, there."""
    taken: dict[tuple[int, str], int | None]

    @classmethod
    def of(cls, kit: Kit) -> "Holes":
        positions = list(kit.positions.select_related("unit"))
        of_spec: dict[int, set[str]] = defaultdict(set)
        spec_ids = {position.spec_id for position in positions}
        spec_ids |= {position.unit.spec_id for position in positions if position.unit}
        for spec_id, name in Port.objects.filter(spec_id__in=spec_ids).values_list("spec_id", "name"):
            of_spec[spec_id].add(name)
        ends = LinkEnd.objects.filter(link__kit=kit).values_list("position_id", "port_name", "link_id")
        return cls(
            by_id={position.pk: position for position in positions},
            by_label={position.label: position for position in positions},
            ports={
                position.pk: of_spec[position.spec_id] | (of_spec[position.unit.spec_id] if position.unit else set())
                for position in positions
            },
            taken={(position_id, port): link_id for position_id, port, link_id in ends},
        )

    def position(self, reference: Reference) -> Position | None:
        return self.by_id.get(reference) if isinstance(reference, int) else self.by_label.get(reference)

    def problems(self, draft: LinkDraft) -> list[FieldProblem]:
        found = [*self._end_problems(draft, "from", draft.a), *self._end_problems(draft, "to", draft.b)]
        if draft.cable is not None:
            cable = self.position(draft.cable)
            if cable is None:
                found.append(_missing(draft.path("cable"), f"The kit has no place {draft.cable}."))
            elif cable in {self.position(draft.a.position), self.position(draft.b.position)}:
                found.append(_missing(draft.path("cable"), "The cable cannot be one of the things that it joins."))
            if draft.cable_spec is not None:
                found.append(_missing(draft.path("cable_spec"), "Name a cable or a type of cable, not both."))
        if not found and (self.position(draft.a.position), draft.a.port) == (
            self.position(draft.b.position),
            draft.b.port,
        ):
            found.append(_missing(draft.path("to"), "A connection joins two different ports."))
        return found

    def _end_problems(self, draft: LinkDraft, name: str, end: EndDraft) -> list[FieldProblem]:
        position = self.position(end.position)
        if position is None:
            return [_missing(draft.path(f"{name}.position"), f"The kit has no place {end.position}.")]
        if end.port not in self.ports[position.pk]:
            return [_missing(draft.path(f"{name}.port"), f"{position.label} has no port {end.port}.")]
        return []


def _missing(field: str, message: str) -> FieldProblem:
    return FieldProblem(field=field, code="invalid", message=message)
