"""Copper runs of Ethernet: length, joints, and the speed that the weakest part leaves."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from calc.assumptions import cord_category, cord_stranded
from calc.channel import CATEGORIES, CORD_DERATING, EQUIVALENT_LIMIT_M, LENGTH_LIMIT_M, CopperRun, Span, copper
from calc.checking.asking import ask_length, ask_of_lead
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.connectors import connector
from calc.errors import BadInput
from calc.rig.cables import DATA
from calc.rig.copper_warmth import copper_c
from calc.rig.inputs import Input
from calc.rig.subjects import about_port, name_of
from calc.rig.wiring import TWO_ENDED_KINDS, Channel, Lead, Node, Wired, channels, leads

TIA = "ANSI/TIA-568, IEEE 802.3"
BEST_CATEGORY = CATEGORIES[-1]
SLOWEST_MBPS = 10
ALL_PAIRS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class CopperChannel:
    """One run with its cables, at the best and at the worst of what is not known."""

    channel: Channel
    leads: tuple[Lead, ...]
    best: CopperRun
    worst: CopperRun


def copper_channels(wired: Wired) -> tuple[CopperChannel, ...]:
    """Return every run of Ethernet over copper that has a cable in it."""
    return wired.once(_copper_channels)


def _copper_channels(wired: Wired) -> tuple[CopperChannel, ...]:
    found = []
    for channel in channels(wired):
        between = leads(wired, channel)
        if channel.carries != "ethernet" or not between:
            continue
        pairs = _pairs_of_ports(wired, channel)
        ends = [_spans(wired, lead, pairs) for lead in between]
        best = copper([best_span for best_span, _ in ends], SLOWEST_MBPS)
        settled = all(best_span == worst_span for best_span, worst_span in ends)
        worst = best if settled else copper([worst_span for _, worst_span in ends], SLOWEST_MBPS)
        found.append(CopperChannel(channel=channel, leads=between, best=best, worst=worst))
    return tuple(found)


def _pairs_of_ports(wired: Wired, channel: Channel) -> int:
    """Return the fewest pairs that the ports and feed-throughs of a run connect; all, where nobody has said."""
    nodes = [node for joint in channel.joints for node in (joint.a, joint.b)]
    stated = [wired.ports[node].pairs for node in nodes]
    return min((pairs for pairs in stated if pairs is not None), default=ALL_PAIRS)


def _spans(wired: Wired, lead: Lead, pairs: int) -> tuple[Span, Span]:
    """Return a lead as the cabling standard sees it, at the best and at the worst of what is not known."""
    length, gauge, stated = DATA.length_m(lead), DATA.thickness_of(lead), category_of(lead)
    fewest = min(pairs, lead.sheet.pairs or ALL_PAIRS)
    stranded, worst = cord_stranded(DATA.spec_of(lead)).value, stated or cord_category(DATA.unnamed).value
    thick, thin = (_derated_as(int(end)) if stranded else None for end in (gauge.low, gauge.high))
    warm_c = copper_c(wired, lead).high
    return (
        Span(length.low, stated or BEST_CATEGORY, cord_awg=thick, pairs=fewest, temperature_c=warm_c),
        Span(length.high, worst, cord_awg=thin, pairs=fewest, temperature_c=warm_c),
    )


def category_of(lead: Lead) -> str | None:
    """Return the category of a copper lead; None where nobody has said, or said what is none of copper."""
    stated = lead.sheet.category
    return stated if stated is not None and is_category(stated) else None


@cache
def is_category(text: str) -> bool:
    """Tell whether a text names a category of copper cable."""
    try:
        copper([Span(0.0, text)], SLOWEST_MBPS)
    except BadInput:
        return False
    return True


def _derated_as(awg: int) -> int:
    """Return the gauge of the standard's table that a cord is judged by: its own, or the next thinner one."""
    return min((listed for listed in CORD_DERATING if listed >= awg), default=max(CORD_DERATING))


@check("run-too-long", "caution", TIA)
def run_too_long(wired: Wired) -> Iterator[Draft]:
    """A copper run counts as more than 102 m of fixed cable, less where it lies warm, or is longer than 100 m."""
    for run in copper_channels(wired):
        best_over, worst_over = _over(run.best), _over(run.worst)
        if worst_over is None:
            continue
        compared = _lengths(run, best_over or worst_over)
        inputs = (*DATA.inputs(wired, run.leads), *_assumed_strands(run.leads), *_warmth(wired, run.leads))
        ends = _ends(wired, run.channel)
        if best_over is None:
            asked = ask_length(wired, run.leads, f"the run {ends} is short enough", inputs, compared)
            if asked is not None:
                yield asked
            continue
        yield judged(
            about_port(wired, run.channel.a),
            f"Shorten the run {ends} by {run.best.shorten_by_m:.1f} m: {best_over.words}.",
            compared,
            value=best_over.value_m,
            inputs=inputs,
        )


def _assumed_strands(between: tuple[Lead, ...]) -> Iterator[Input]:
    """Return which leads are taken to be stranded, since nobody has said so: a solid one loses less."""
    for number, lead in enumerate(between, start=1):
        stranded = cord_stranded(DATA.spec_of(lead))
        if stranded.provenance == "assumed":
            yield Input(name=f"lead {number}: stranded", value=stranded.value, provenance="assumed")


def _warmth(wired: Wired, between: tuple[Lead, ...]) -> Iterator[Input]:
    for number, lead in enumerate(between, start=1):
        warm = copper_c(wired, lead)
        yield Input(name=f"lead {number}: copper temperature", value=warm.high, provenance=warm.provenance)


@dataclass(frozen=True, slots=True, kw_only=True)
class TooLong:
    """A length that is beyond its limit."""

    measure: str
    """What is compared: ``equivalent`` or ``length``."""
    value_m: float
    limit_m: float

    @property
    def words(self) -> str:
        warm = " as warm as it lies" if self.limit_m not in (LENGTH_LIMIT_M, EQUIVALENT_LIMIT_M) else ""
        counted = "it counts as {:.1f} m of fixed cable" if self.measure == "equivalent" else "it is {:.1f} m long"
        return f"{counted.format(self.value_m)}, and {round(self.limit_m, 1):g} m are the most{warm}"


def _over(run: CopperRun) -> TooLong | None:
    """Return the length that is further beyond its limit, since that one says what to take out; None within both."""
    if run.shorten_by_m <= 0:
        return None
    if -run.equivalent_margin_m >= -run.length_margin_m:
        return TooLong(measure="equivalent", value_m=run.equivalent_m, limit_m=run.equivalent_limit_m)
    return TooLong(measure="length", value_m=run.length_m, limit_m=run.length_limit_m)


def _lengths(run: CopperChannel, over: TooLong) -> Compared:
    """Return that length of a run, at the best and at the worst of what is not known.

    Where the spans lie in different heat, the limit hangs on their lengths too: both are told against the same one.
    """
    if over.measure == "equivalent":
        low, high = (one.equivalent_m * over.limit_m / one.equivalent_limit_m for one in (run.best, run.worst))
    else:
        low, high = run.best.length_m, run.worst.length_m
    return Compared(low=low, high=high, unit="m", limit=over.limit_m)


@check("run-many-joints", "caution", TIA)
def run_many_joints(wired: Wired) -> Iterator[Draft]:
    """More than four mated pairs lie between the two ends of a run; a rated feed-through counts one, others two."""
    for run in copper_channels(wired):
        couplers = sum(_counts_twice(wired, pair) for pair in run.channel.passed)
        joints, limit = run.best.joints + couplers, run.best.joints_limit
        if joints <= limit:
            continue
        yield judged(
            about_port(wired, run.channel.a),
            f"Use fewer, longer cables on the run {_ends(wired, run.channel)}: "
            f"it has {joints} joints, at most {limit}.",
            against(joints, limit, "joints"),
            inputs=(Input(name="couplers that count twice", value=couplers), *DATA.inputs(wired, run.leads)),
        )


def _counts_twice(wired: Wired, pair: tuple[Node, Node]) -> bool:
    """Tell whether a feed-through between two leads is not rated as one joint: a plug goes into it on either side."""
    if not all(node in wired.joints_at for node in pair) or wired.place_of(pair[0]).spec.kind in TWO_ENDED_KINDS:
        return False
    return not any(connector(wired.ports[node].connector).feed_through for node in pair)


@check("run-limits-speed", "caution", TIA)
def run_limits_speed(wired: Wired) -> Iterator[Draft]:
    """The weakest category, the fewest pairs or a passive part leave less speed than both ends could run."""
    for run in copper_channels(wired):
        channel = run.channel
        stated = [wired.ports[node].speed_mbps for node in (channel.a, channel.b)]
        wanted = min((speed for speed in stated if speed is not None), default=None)
        if wanted is None or not channel.complete:
            continue
        best_mbps, worst_mbps = run.best.max_speed_mbps, run.worst.max_speed_mbps
        if best_mbps is None or worst_mbps is None:  # beyond 100 m: ``run-too-long`` tells
            continue
        passive = _slowest_passive(wired, channel)
        best, worst = min(best_mbps, passive), min(worst_mbps, passive)
        if worst >= wanted:
            continue
        inputs = _speed_inputs(wired, run)
        compared = Compared(low=worst, high=best, unit="Mb/s", limit=wanted, at_least=True)
        if best >= wanted:
            yield _speed_undecided(wired, run, wanted, inputs, compared)
        elif None in stated:
            yield _ask_speed(wired, channel.a if stated[0] is None else channel.b, best, inputs)
        else:
            yield judged(
                about_port(wired, channel.a),
                f"Change the weakest part of the run {_ends(wired, channel)}: it carries {best:g} Mb/s, "
                f"and both ends could run {wanted:g} Mb/s.",
                compared,
                inputs=inputs,
            )


def _slowest_passive(wired: Wired, channel: Channel) -> float:
    """Return the lowest speed that a feed-through of the run is rated for; endless, where nobody has said."""
    passed = [wired.ports[node].speed_mbps for pair in channel.passed for node in pair]
    return min((speed for speed in passed if speed is not None), default=float("inf"))


def _speed_inputs(wired: Wired, run: CopperChannel) -> tuple[Input, ...]:
    ends = [
        Input(name=f"{name_of(wired, node)}: speed_mbps", value=wired.ports[node].speed_mbps)
        for node in (run.channel.a, run.channel.b)
    ]
    categories = [
        Input(
            name=f"lead {number}: category",
            value=lead.sheet.category,
            provenance="data sheet" if lead.sheet.category else "unknown",
        )
        for number, lead in enumerate(run.leads, start=1)
    ]
    return (*ends, *categories, *DATA.inputs(wired, run.leads))


def _speed_undecided(
    wired: Wired, run: CopperChannel, wanted: float, inputs: tuple[Input, ...], compared: Compared
) -> Draft:
    decides = f"the run {_ends(wired, run.channel)} carries {wanted:g} Mb/s"
    unnamed = [lead for lead in run.leads if category_of(lead) is None]
    if unnamed:
        return ask_of_lead(wired, unnamed[0], "cable.category", decides, compared, inputs)
    unmeasured = next(lead for lead in run.leads if not DATA.length_m(lead).settled)
    return ask_of_lead(wired, unmeasured, "cable.length_m", decides, compared, inputs)


def _ask_speed(wired: Wired, node: Node, carried: float, inputs: tuple[Input, ...]) -> Draft:
    return undecided(
        about_port(wired, node),
        f"Enter the speed of {name_of(wired, node)}: only then is it known whether {carried:g} Mb/s are enough.",
        unlocks=f"ports.{node[1]}.speed_mbps",
        compared=Compared(low=carried, high=carried, unit="Mb/s"),
        inputs=inputs,
    )


def _ends(wired: Wired, channel: Channel) -> str:
    return f"from {name_of(wired, channel.a)} to {name_of(wired, channel.b)}"
