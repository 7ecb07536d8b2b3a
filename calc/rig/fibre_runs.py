"""Runs of fibre: the glass in them, and the optics at their two ends, in a cage or built in."""

from dataclasses import dataclass

from calc.channel import FIBRE_APPLICATIONS, optics_of
from calc.connectors import connector
from calc.rig.sheets import OpticsSheet
from calc.rig.wiring import Channel, Joint, Lead, Node, Place, Wired, channels, fits, leads


@dataclass(frozen=True, slots=True, kw_only=True)
class LightEnd:
    """What sends and takes light at one end of a run."""

    node: Node
    """The port that the glass goes into: of the device, or of the module in its cage."""
    place: Place
    """Whose sheet says what the light is like: the module where one is drawn, else the device."""
    is_bare_cage: bool
    """Glass goes straight into a cage: nobody has drawn the module that is in it."""

    @property
    def optics(self) -> OpticsSheet | None:
        """Return what its sheet says of its light, if it says anything."""
        sheet = self.place.spec.optics
        return sheet if sheet is not None and sheet != OpticsSheet() else None

    @property
    def application(self) -> str | None:
        return self.optics.application if self.optics is not None else None

    @property
    def sends_nm(self) -> int | None:
        """Return the wavelength that it sends; None where nobody said and its application leaves it open. [nm]"""
        if self.optics is not None and self.optics.wavelength_nm is not None:
            return self.optics.wavelength_nm
        sent = optics_of(self.application).sends_nm if self.application is not None else ()
        return sent[0] if len(sent) == 1 else None

    @property
    def receives_nm(self) -> int | None:
        """Return the wavelength that it is made to take; None where nobody said. [nm]"""
        if self.optics is not None and self.optics.receives_nm is not None:
            return self.optics.receives_nm
        sent = optics_of(self.application).sends_nm if self.application is not None else (None,)
        if len(sent) == 1:
            return self.sends_nm
        others = [nm for nm in sent if nm != self.sends_nm]
        return others[0] if len(others) == 1 else None


@dataclass(frozen=True, slots=True, kw_only=True)
class FibreRun:
    """One run of glass with its cables."""

    channel: Channel
    leads: tuple[Lead, ...]
    ends: tuple[LightEnd, ...]
    """What is at its two ends, as far as something is plugged in there."""
    speeds: tuple[float | None, ...]
    """What the ports at its two ends run at; of a module, the cage that it is in. [Mb/s]"""

    @property
    def applications(self) -> tuple[str, ...]:
        """Return every optical application that the run may be: what its ends say, else those of its speed."""
        stated = tuple(dict.fromkeys(end.application for end in self.ends if end.application is not None))
        if stated:
            return stated
        speed = min((speed for speed in self.speeds if speed is not None), default=None)
        return tuple(name for name in FIBRE_APPLICATIONS if speed in (None, optics_of(name).speed_mbps))


def fibre_runs(wired: Wired) -> tuple[FibreRun, ...]:
    """Return every fibre run that has glass in it; a lead with modules fixed to its ends has none to be matched."""
    return wired.once(_fibre_runs)


def _fibre_runs(wired: Wired) -> tuple[FibreRun, ...]:
    found = []
    for channel in channels(wired):
        between = leads(wired, channel) if channel.carries == "fibre" else ()
        if not between or any(_ends_in_cages(wired, joint) for joint in channel.joints):
            continue
        speeds = tuple(wired.ports[node].speed_mbps for node in (channel.a, channel.b))
        ends = (_end(wired, channel, channel.a), _end(wired, channel, channel.b))
        found.append(
            FibreRun(channel=channel, leads=between, ends=tuple(end for end in ends if end is not None), speeds=speeds)
        )
    return tuple(found)


def _ends_in_cages(wired: Wired, joint: Joint) -> bool:
    """Tell whether a lead has a module fixed to each of its ends, or goes from cage to cage without a name."""
    fit = fits(wired)[joint.number]
    ends = fit.cable_ends or tuple(wired.ports[node] for node in (joint.a, joint.b))
    return fit.way in ("cable", "lead") and all(connector(port.connector).takes for port in ends)


def _end(wired: Wired, channel: Channel, node: Node) -> LightEnd | None:
    """Return the light at one end of a run: of the module that is in the cage there, or of the device."""
    if not connector(wired.ports[node].connector).takes:
        open_end = not channel.complete and node not in wired.joints_at
        return None if open_end else LightEnd(node=node, place=wired.place_of(node), is_bare_cage=False)
    for nearest in channel.passed[:1] if node == channel.a else channel.passed[-1:]:
        if not _is_module(wired, nearest):
            continue
        line = next(one for one in nearest if not connector(wired.ports[one].connector).takes)
        return LightEnd(node=line, place=wired.place_of(line), is_bare_cage=False)
    return LightEnd(node=node, place=wired.place_of(node), is_bare_cage=True)


def _is_module(wired: Wired, pair: tuple[Node, Node]) -> bool:
    return is_in_cage(wired, pair) and not all(connector(wired.ports[node].connector).takes for node in pair)


def is_in_cage(wired: Wired, pair: tuple[Node, Node]) -> bool:
    """Tell whether a feed-through is a module: one of its two ports goes into a cage."""
    return any(connector(wired.ports[node].connector).takes for node in pair)


def strands(wired: Wired, run: FibreRun) -> tuple[int, Node | None]:
    """Return how many fibres go all the way, and a port where there are no more; None where nobody can say."""
    counted: list[tuple[int, Node]] = []
    for joint in run.channel.joints:
        near_far = fits(wired)[joint.number].cable_ends or ()
        counted += [
            (poles, joint.a)
            for port in near_far
            if (poles := connector(port.connector).poles) is not None and port.carries == "fibre"
        ]
    counted += [
        (poles, node)
        for pair in run.channel.passed
        for node in pair
        if (poles := connector(wired.ports[node].connector).poles) is not None
    ]
    fewest, at = min(counted, key=lambda one: one[0], default=(0, None))
    return fewest, at
