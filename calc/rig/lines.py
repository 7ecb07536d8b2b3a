"""What the lines of a feed carry: three phases, split phase, or one line against neutral."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import cos, hypot, inf, pi, sin

from calc.connectors import connector
from calc.given import Given, total
from calc.rig.behind import LINES, ByLine, behind, by_line, by_line_of, head_of, lines_of
from calc.rig.demand import between, drawn
from calc.rig.supply import LINES_APART
from calc.rig.wiring import Node, Wired


@dataclass(frozen=True, slots=True, kw_only=True)
class LineLoad:
    """What each line of a feed carries, as the apparent power of a load between it and neutral. [VA]"""

    each: tuple[Given, ...]
    """In the order of the lines; what hangs on no written leg is spread evenly."""
    to_neutral: tuple[Given, ...]
    """What hangs between each line and neutral by its leg."""
    worst: Given
    """Of the line with most on it, however well what hangs on no written leg is spread: so much is surely there."""
    is_told: bool
    """Whether the leg of everything is written."""
    heaviest: str | None = None
    """The line with most on it, where written legs tell."""

    @property
    def where(self) -> str:
        """Return ``" on L1"``, to stand behind an amount; nothing where no leg tells."""
        return f" on {self.heaviest}" if self.heaviest is not None else ""


def line_load(wired: Wired, loads: Iterable[Node]) -> LineLoad:
    """Return what the lines carry that feed some inlets together."""
    listed = list(loads)
    lines = max((lines_of(wired, load) for load in listed), key=len, default=LINES[:1])
    if len(lines) == 1:
        va = drawn(wired, (node for load in listed for node in behind(wired, load)))
        return LineLoad(each=(va,), to_neutral=(va,), worst=va, is_told=True)
    made = spread(_heads(wired, listed), lines, partial(drawn, wired))
    poles = {connector(wired.ports[load].connector).pole for load in listed}
    return made if None in poles else _of_poles(made, lines, poles)


def _of_poles(made: LineLoad, lines: Sequence[str], poles: Collection[str | None]) -> LineLoad:
    """Return what single-pole inlets carry of what their box does: nothing, where only neutral or earth come in."""
    own = tuple(given for line, given in zip(lines, made.each, strict=True) if line in poles)
    if not own:
        return replace(made, each=(), worst=scaled(made.worst, 0))
    return replace(made, each=own, worst=_largest(own) if made.is_told else made.worst)


def source_load(wired: Wired, outlets: Sequence[Node]) -> LineLoad:
    """Return what the lines of a source carry that has these outlets."""
    kinds = [connector(wired.ports[outlet].connector) for outlet in outlets]
    legs = [power.leg or "" for power in (wired.ports[outlet].power for outlet in outlets) if power is not None]
    named = {*(kind.pole for kind in kinds), *(line for leg in legs for line in leg.split("-"))}
    lines = max([kind.lines for kind in kinds] + [number for number, line in enumerate(LINES, 1) if line in named])
    return spread(by_line_of(wired, outlets), LINES[:lines], partial(drawn, wired))


def line_a(wired: Wired, loads: Iterable[Node], volts: float) -> Given:
    """Return the current of the line that carries most; ``volts`` are those to neutral, where there are several. [A]"""
    return scaled(line_load(wired, loads).worst, 1 / volts)


def _heads(wired: Wired, loads: Iterable[Node]) -> ByLine:
    return by_line(wired, dict.fromkeys(head_of(wired, load) for load in loads))


def spread(grouped: ByLine, lines: Sequence[str], of: Callable[[Iterable[Node]], Given]) -> LineLoad:
    """Return what ``of`` makes of the inlets on each line, with all loads at one power factor."""
    of_one = 1 / len(lines)
    even = scaled(of(grouped.even), of_one)
    unplaced = [of(nodes) for nodes in grouped.open]
    share = scaled(total(unplaced, "power.rated_a"), of_one)
    to_neutral = tuple(of(grouped.on.get(line, ())) for line in lines)
    written = [
        _of_line(grouped, lines, number, total([even, own], own.name), of) for number, own in enumerate(to_neutral)
    ]
    everything = [*grouped.even, *(node for nodes in (*grouped.on.values(), *grouped.open) for node in nodes)]
    at_least = [scaled(of(everything), of_one), *written]
    at_least += [total([even, one], one.name) for one in unplaced]
    fullest = max(range(len(lines)), key=lambda number: written[number].low)
    is_by_leg = bool(grouped.on) and all(written[fullest].low >= one.low for one in at_least)
    return LineLoad(
        each=tuple(total([own, share], own.name) for own in written),
        to_neutral=to_neutral,
        worst=_largest(at_least),
        is_told=not any(one.high > 0 for one in unplaced),
        heaviest=lines[fullest] if is_by_leg else None,
    )


def _of_line(
    grouped: ByLine, lines: Sequence[str], number: int, in_step: Given, of: Callable[[Iterable[Node]], Given]
) -> Given:
    """Return what a line carries: what is in step with it, and its part of the loads between it and another line. [VA]

    Of split phase those are in step as well. Of three phases they are a twelfth of a turn before it and behind it.
    """
    pairs = [
        scaled(of([node for leg in _between(lines[number], other) for node in grouped.on.get(leg, ())]), 1 / apart)
        for other, apart in ((other, LINES_APART[len(lines)]) for other in lines if other != lines[number])
    ]
    if len(pairs) < 2:
        return total([in_step, *pairs], in_step.name)
    known = total([in_step, *pairs], in_step.name)
    low = _magnitude(in_step.low, *(pair.low for pair in pairs))
    return between(low, inf if known.high == inf else _magnitude(in_step.high, *(pair.high for pair in pairs)),
                   known.provenance, known.name)  # fmt: skip


def _between(line: str, other: str) -> tuple[str, str]:
    return f"{line}-{other}", f"{other}-{line}"


def _magnitude(in_step: float, before: float, behind: float) -> float:
    return hypot(in_step + (before + behind) * cos(pi / 6), (before - behind) * sin(pi / 6))


def _largest(parts: Sequence[Given]) -> Given:
    """Return the number between the largest lower and the largest upper end."""
    known = total(parts, "power.rated_a").provenance
    return between(max(part.low for part in parts), max(part.high for part in parts), known, "power.rated_a")


def scaled(given: Given, by: float) -> Given:
    """Return a number times another one."""
    return between(given.low * by, given.high * by, given.provenance, given.name)
