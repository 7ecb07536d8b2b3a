"""The optics at the two ends of a fibre run: one rate, one kind of light, and as many fibres as they need."""

from collections.abc import Iterator

from calc.channel import optics_of
from calc.checking.compared import against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.connectors import connector
from calc.rig.fibre_runs import FibreRun, LightEnd, fibre_runs, strands
from calc.rig.inputs import port_speed, reading
from calc.rig.subjects import about, about_port, name_of
from calc.rig.wiring import Wired, channels

IEEE = "IEEE 802.3"
SAME_LIGHT_NM = 15
"""Wavelengths that are nearer than this are one: 1300 and 1310, but not 1310 and 1330. From memory. [nm]"""


def optics_apart(wired: Wired) -> Iterator[Draft]:
    """Find optics that differ in rate, application or wavelength: stop; in 1310 and 1550 nm: caution."""
    yield from _two_rates(wired)
    for run in fibre_runs(wired):
        bare = next((end for end in run.ends if end.is_bare_cage and end.optics is None), None)
        if bare is not None:
            yield _ask_module(wired, bare)
        elif len(run.ends) == 2:
            yield from _two_kinds(wired, run, *run.ends)


def _two_rates(wired: Wired) -> Iterator[Draft]:
    """Find ports of two rates: those of fibre, unlike copper ones, do not agree on one."""
    for channel in channels(wired):
        ends = (channel.a, channel.b)
        rates = [wired.ports[node].speed_mbps for node in ends]
        if channel.carries == "fibre" and channel.complete and None not in rates and rates[0] != rates[1]:
            yield Draft(
                subject=about_port(wired, channel.a),
                severity="stop",
                message=f"Use optics of one rate at {name_of(wired, channel.a)} and {name_of(wired, channel.b)}: "
                f"{' and '.join(f'{rate:g} Mb/s' for rate in rates)} do not link, as fibre ports agree on nothing.",
                inputs=tuple(port_speed(wired, node) for node in ends),
            )


def _ask_module(wired: Wired, bare: LightEnd) -> Draft:
    return undecided(
        about(bare.place),
        f"Say which module is in {name_of(wired, bare.node)}, by its optics or as a place of its own: a fibre goes "
        "into that cage, and only then is it known whether both ends send the same light.",
        unlocks="optics.application",
        inputs=(reading(bare.place, "optics", "application"),),
    )


def _two_kinds(wired: Wired, run: FibreRun, one: LightEnd, other: LightEnd) -> Iterator[Draft]:
    severity = _how_different(one, other)
    if severity is None:
        return
    light = " and ".join(_light(end) for end in (one, other))
    yield Draft(
        subject=about_port(wired, one.node),
        severity=severity,
        message=f"Use optics that belong together at {name_of(wired, one.node)} and {name_of(wired, other.node)}: "
        f"{light} {'link at best by chance' if severity == 'caution' else 'do not link'}.",
        inputs=tuple(
            reading(end.place, "optics", field)
            for end in (one, other)
            for field in ("application", "wavelength_nm", "receives_nm")
        ),
    )


def _how_different(one: LightEnd, other: LightEnd) -> str | None:
    """Return how bad it is that the light at two ends is not the same; None where nothing says that it is not."""
    ways = [(one.sends_nm, other.receives_nm), (other.sends_nm, one.receives_nm)]
    astray = [(sent, taken) for sent, taken in ways if sent is not None and taken is not None and _differ(sent, taken)]
    if not astray:
        apart = None not in (one.application, other.application) and _speeds(one) != _speeds(other)
        return "stop" if apart else None
    both_long = all(min(sent, taken) > 1200 for sent, taken in astray)
    each_takes_its_own = all(end.sends_nm == end.receives_nm for end in (one, other))
    return "caution" if both_long and each_takes_its_own else "stop"


def _differ(sent_nm: int, taken_nm: int) -> bool:
    return abs(sent_nm - taken_nm) > SAME_LIGHT_NM


def _speeds(end: LightEnd) -> float | None:
    return optics_of(end.application).speed_mbps if end.application is not None else None


def _light(end: LightEnd) -> str:
    name = end.application or "optics"
    if end.sends_nm is None:
        return name
    takes = f", taking {end.receives_nm} nm" if end.receives_nm not in (None, end.sends_nm) else ""
    return f"{name} ({end.sends_nm} nm{takes})"


@check("fibres-short", "caution", IEEE)
def fibres_short(wired: Wired) -> Iterator[Draft]:
    """Fewer fibres go all the way than the optics at the ends use: one simplex cord between duplex ports."""
    for run in fibre_runs(wired):
        wanted = min((_wanted(wired, end) for end in run.ends), default=0)
        there, at = strands(wired, run)
        if at is None or len(run.ends) < 2 or there >= wanted:
            continue
        a, b = run.channel.a, run.channel.b
        yield judged(
            about_port(wired, at),
            f"Lay {wanted} fibres from {name_of(wired, a)} to {name_of(wired, b)}, or use optics for one fibre: "
            f"only {there} can pass at {name_of(wired, at)}.",
            against(there, wanted, "fibres", at_least=True),
            inputs=tuple(reading(end.place, "optics", "application") for end in run.ends),
        )


def _wanted(wired: Wired, end: LightEnd) -> int:
    """Return how many fibres one end uses: by its application, but no more than its connector holds."""
    poles = connector(wired.ports[end.node].connector).poles or 0
    if end.application is None:
        two_ways = end.optics is not None and end.receives_nm is not None and end.sends_nm != end.receives_nm
        return 1 if two_ways else min(poles, 2)
    used = optics_of(end.application).fibres
    return min(used, poles) if poles else used
