"""Positions, links and feed-throughs resolved into one graph, as one view sees them."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, TypeAlias, TypeVar

from calc.connectors import connector
from calc.errors import require_one_of
from calc.rig.brief import Brief
from calc.rig.ends import End
from calc.rig.kit import Kit, Link, Port, PortPower, Position, Spec, Unit

VIEWS = ("design", "packed")
GONE = ("lost", "retired")
"""States of a unit that is not where it was packed."""
TWO_ENDED_KINDS = ("cable", "drum")
"""Kinds whose two ports are joined to each other even where the sheet does not say so."""

Node: TypeAlias = tuple[int, str]
Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One position as a view sees it: with its planned spec, or with the unit that is in it."""

    id: int
    label: str
    path: str
    """The label, after the labels of the positions that hold the kits around it."""
    position: Position
    spec: Spec
    unit: Unit | None
    """None in the design view."""
    kit: Kit
    """The kit that plans the position."""
    within: tuple[Kit, ...]
    """Every kit that it is a part of: that kit, those around it and, where it holds a nested kit, that one too."""

    @property
    def is_spare(self) -> bool:
        return self.position.role == "spare"


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """One link of which both ends are there, with the spec of its cable where one is planned."""

    number: int
    """Which of the graph's joints it is, from 0: what analyses keep their answers by."""
    within: tuple[Kit, ...]
    """The kit that plans the link, after the kits around it; none for a link on site."""
    link: Link
    a: Node
    b: Node
    cable: Spec | None

    def other(self, node: Node) -> Node:
        """Return the end that is not ``node``."""
        return self.b if node == self.a else self.a


@dataclass(frozen=True, slots=True, kw_only=True)
class Dangling:
    """A link end that names a port which the spec in that position has not."""

    link: Link
    place: Place
    port: str


@dataclass(slots=True, kw_only=True)
class Wired:
    """A kit, or several joined on site, as a graph under one view."""

    view: str
    as_of: datetime
    kits: tuple[Kit, ...]
    """The kits that were asked about; kits nested in them stand in ``places``."""
    places: dict[int, Place] = field(default_factory=dict)
    empty: dict[int, Position] = field(default_factory=dict)
    """Positions with nothing in them, in this view, by id."""
    paths: dict[int, str] = field(default_factory=dict)
    """Label with the labels around it, of places and of empty positions."""
    ports: dict[Node, Port] = field(default_factory=dict)
    joints: list[Joint] = field(default_factory=list)
    joints_at: dict[Node, list[Joint]] = field(default_factory=dict)
    through: dict[Node, list[Node]] = field(default_factory=dict)
    cut: set[Node] = field(default_factory=set)
    """Ports whose link leads to an empty position: nothing can be said about what is behind them."""
    cables_in_use: set[int] = field(default_factory=set)
    """Positions whose cable makes a link."""
    dangling: list[Dangling] = field(default_factory=list)
    same_place: dict[int, int] = field(default_factory=dict)
    """Position of a nested kit's case → the outer position that holds that kit."""
    briefs: list[tuple[Kit | None, Brief]] = field(default_factory=list)
    """What is asked, by the show first (no kit), then by each kit and the kits nested in it."""
    on_site: bool = False
    """Whether all that comes along is here: a show's rig, and not one kit by itself."""
    _answers: dict[Any, Any] = field(default_factory=dict)

    def once(self, analysis: Callable[["Wired"], Answer]) -> Answer:
        """Return what ``analysis`` makes of this graph, computed the first time it is asked for."""
        if analysis not in self._answers:
            self._answers[analysis] = analysis(self)
        answer: Answer = self._answers[analysis]
        return answer

    @property
    def is_as_planned(self) -> bool:
        """Tell whether every position holds a sound unit of the planned spec."""
        return not self.empty and all(
            place.spec.id == place.position.spec.id and not (place.unit and place.unit.damage)
            for place in self.places.values()
        )

    def place_of(self, node: Node) -> Place:
        return self.places[node[0]]

    def damage(self, node: Node) -> frozenset[str]:
        """Return the kinds of damage of that port; none in the design view."""
        unit = self.places[node[0]].unit
        return unit.damage.get(node[1], frozenset()) if unit else frozenset()

    def nodes_of(self, place: Place) -> Iterator[tuple[Node, Port]]:
        for port in place.spec.ports:
            yield (place.id, port.name), self.ports[place.id, port.name]

    def positions(self) -> Iterator[Position]:
        """Return every position, filled or not, without the case positions of nested kits."""
        for place in self.places.values():
            yield place.position
        yield from self.empty.values()

    def node(self, end: End) -> Node | None:
        """Return the port that an end names, or None where nothing is in that position, or nothing of that name."""
        node = self.same_place.get(end.position, end.position), end.port
        return node if node in self.ports else None

    def is_linked(self, node: Node) -> bool:
        """Tell whether a link ends at that port, also one that leads to an empty position."""
        return node in self.joints_at or node in self.cut


def wire(
    kits: Iterable[Kit], *, view: str, as_of: datetime, site_links: Iterable[Link] = (), brief: Brief | None = None
) -> Wired:
    """Return the graph of the kits, of the kits nested in them, and of the links that join them on site.

    Args:
        kits: The kits that are wired together.
        view: One of ``VIEWS``.
        as_of: The moment that dates are compared with; timezone-aware.
        site_links: Links between the kits.
        brief: What the show asks of all of them together; None for a kit by itself.

    Raises:
        BadInput: ``view`` is not one of ``VIEWS``.
    """
    require_one_of("view", view, VIEWS)
    wired = Wired(view=view, as_of=as_of, kits=tuple(kits), on_site=brief is not None)
    if brief is not None:
        wired.briefs.append((None, brief))
    links: list[Planned] = [((), link) for link in site_links]
    for kit in wired.kits:
        links += _add_kit(wired, kit, prefix=f"{kit.name}, " if len(wired.kits) > 1 else "", around=(), outer=None)
    for place in wired.places.values():
        _add_ports(wired, place)
    for within, link in sorted(links, key=_where):
        _add_link(wired, within, link)
    return wired


Planned: TypeAlias = tuple[tuple[Kit, ...], Link]
"""A link, and the kits that it is laid in."""


def _where(planned: Planned) -> tuple[tuple[int, str], tuple[int, str]]:
    """Return the ends of a link as a sorting key: who drew it when, and from which end, makes no difference."""
    link = planned[1]
    first, second = sorted(((link.a.position, link.a.port), (link.b.position, link.b.port)))
    return first, second


def _add_kit(wired: Wired, kit: Kit, prefix: str, around: tuple[Kit, ...], outer: Position | None) -> list[Planned]:
    links: list[Planned] = [((*around, kit), link) for link in kit.links]
    if kit.brief is not None:
        wired.briefs.append((kit, kit.brief))
    for position in kit.positions:
        if outer is not None and position.role == "case":
            wired.same_place[position.id] = outer.id
            continue
        path = prefix + position.label
        wired.paths[position.id] = path
        spec, unit = _seen(wired.view, position)
        if spec is None:
            wired.empty[position.id] = position
            continue
        wired.places[position.id] = Place(
            id=position.id,
            label=position.label,
            path=path,
            position=position,
            spec=spec,
            unit=unit,
            kit=kit,
            within=(*around, kit) if position.nested is None else (*around, kit, position.nested),
        )
        if position.nested is not None:
            links += _add_kit(wired, position.nested, f"{path}, ", around=(*around, kit), outer=position)
    return links


def _seen(view: str, position: Position) -> tuple[Spec | None, Unit | None]:
    """Return what stands in the position: its planned spec, or the spec of the unit in it and that unit."""
    if view == "design":
        return position.spec, None
    if position.unit is None or position.unit.state in GONE:
        return None, None
    return position.unit.spec, position.unit


def _add_ports(wired: Wired, place: Place) -> None:
    for port in place.spec.ports:
        wired.ports[place.id, port.name] = _with_role(place.spec, port)
    pairs = {(port.name, port.through) for port in place.spec.ports if port.through is not None}
    if not pairs and place.spec.kind in TWO_ENDED_KINDS and len(place.spec.ports) == 2:
        pairs = {(place.spec.ports[0].name, place.spec.ports[1].name)}
    if not pairs and place.spec.kind == "fixture":
        control = [port for port in place.spec.ports if port.carries == "dmx"]
        if len(control) == 2 and control[0].side != control[1].side:
            pairs = {(control[0].name, control[1].name)}  # what comes in goes on to the next one (ANSI E1.11)
    for one, other in sorted(pairs):
        _join_through(wired, (place.id, one), (place.id, other))


def _with_role(spec: Spec, port: Port) -> Port:
    """Return a port with the role that its connector and the kind of the spec give it, where none is typed.

    A mains port that nothing is said of still takes power or gives it: its name may say so, otherwise pins take it and
    contacts give it. Leads, and ports that are joined to another one, do neither.
    """
    passes = port.through is not None or spec.kind in TWO_ENDED_KINDS or any(p.through == port.name for p in spec.ports)
    if port.power is not None or port.carries != "mains" or port.poe is not None or passes:
        return port
    made_for = connector(port.connector)
    role = made_for.role or _role_by_name(port.name) or ("load" if port.side in made_for.pins else "source")
    return replace(port, power=PortPower(role=role))


ROLE_WORDS = {"in": "load", "inlet": "load", "input": "load", "out": "source", "outlet": "source", "output": "source"}


def _role_by_name(name: str) -> str | None:
    """Return what its name makes of a port: ``in A`` and ``mains inlet`` take power, ``in/out`` tells nothing."""
    roles = {ROLE_WORDS[word] for word in re.findall("[a-z]+", name.lower()) if word in ROLE_WORDS}
    return roles.pop() if len(roles) == 1 else None


def _join_through(wired: Wired, one: Node, other: Node) -> None:
    for near, far in ((one, other), (other, one)):
        beyond = wired.through.setdefault(near, [])
        if far in wired.ports and far not in beyond:
            beyond.append(far)


def _add_link(wired: Wired, within: tuple[Kit, ...], link: Link) -> None:
    in_order = sorted((link.a, link.b), key=lambda end: (end.position, end.port))
    a, b = ends = [_resolve(wired, link, end) for end in in_order]
    if link.cable is not None:
        wired.cables_in_use.add(link.cable)
    if a is not None and b is not None:
        joint = Joint(number=len(wired.joints), within=within, link=link, a=a, b=b, cable=_cable(wired, link))
        wired.joints.append(joint)
        wired.joints_at.setdefault(a, []).append(joint)
        wired.joints_at.setdefault(b, []).append(joint)
        return
    wired.cut.update(node for node in ends if node is not None)


def _resolve(wired: Wired, link: Link, end: End) -> Node | None:
    place = wired.places.get(wired.same_place.get(end.position, end.position))
    if place is None:
        return None
    node = wired.node(end)
    if node is None:
        wired.dangling.append(Dangling(link=link, place=place, port=end.port))
    return node


def _cable(wired: Wired, link: Link) -> Spec | None:
    """Return the spec of the link's cable; where the cable's position is empty, the planned one stands in."""
    if link.cable is None:
        return link.cable_spec
    place = wired.places.get(link.cable)
    if place is not None:
        return place.spec
    position = wired.empty.get(link.cable)
    return position.spec if position is not None else link.cable_spec


def own_places(wired: Wired, kit: Kit | None) -> list[Place]:
    """Return the places of a kit and of the kits nested in it, its case included; of the whole rig for None."""
    return [place for place in wired.places.values() if kit is None or is_within(place, kit)]


def kits_in(kit: Kit) -> list[Kit]:
    """Return a kit and all kits nested in it."""
    nested = [position.nested for position in kit.positions if position.nested is not None]
    return [kit, *(inner for one in nested for inner in kits_in(one))]


def is_within(part: Place | Joint, kit: Kit) -> bool:
    """Tell whether a place or a link is a part of a kit, or of a kit nested in it."""
    return any(one is kit for one in part.within)


def natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """Return a sorting key that puts port 2 before port 10, and numbers before words."""
    parts = re.split(r"(\d+)", name)
    return tuple((0, int(part), "") if part.isdigit() else (1, 0, part) for part in parts if part)
