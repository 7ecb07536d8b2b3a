"""Ports as a table: what each is, what it carries, what it gives or takes."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import groupby

from calc.connectors import connector
from calc.errors import BadInput
from calc.rig.kit import Port, PortPower
from inventory.drawings.symbols import OTHER, symbol_of
from web.components.numbers import figure


@dataclass(frozen=True, slots=True, kw_only=True)
class PortLine:
    """One port, or several alike."""

    number: int
    """Its place on the data sheet, from 1."""
    symbol: str
    names: str
    what: str
    """``8P8C, socket; ethernet, 1 Gb/s``."""
    power: str
    """``gives class 4``, ``takes 48 to 57 V, 78 W``; empty where it feeds nothing."""
    where: str
    """``outside, joined to LAN 1 rear``; empty for an inside port that is joined to none."""
    origin: str
    """Where its numbers came from, unless from the data sheet."""


def port_lines(ports: Iterable[Port], provenance: Mapping[str, str] | None = None) -> tuple[PortLine, ...]:
    """Return a line for each port."""
    return tuple(_line(number, port, provenance or {}) for number, port in enumerate(ports, start=1))


def alike_together(lines: Iterable[PortLine]) -> tuple[PortLine, ...]:
    """Return lines with neighbours that differ by name only put into one."""
    grouped = []
    for _, alike in groupby(lines, key=lambda line: replace(line, number=0, names="")):
        several = list(alike)
        grouped.append(replace(several[0], names=", ".join(line.names for line in several)))
    return tuple(grouped)


def _line(number: int, port: Port, provenance: Mapping[str, str]) -> PortLine:
    try:
        name, symbol = connector(port.connector).name, symbol_of(port.connector, port.side)
    except BadInput:  # a data sheet may be older than the register
        name, symbol = port.connector, OTHER
    origins = {value for path, value in provenance.items() if path.startswith(f"ports.{port.name}.")}
    return PortLine(
        number=number,
        symbol=symbol,
        names=port.name,
        what=f"{name}, {port.side}; {_signal(port)}",
        power=_power(port),
        where=_where(port),
        origin=", ".join(sorted(origins)),
    )


def _signal(port: Port) -> str:
    words = [port.carries]
    if port.speed_mbps is not None:
        gigabits = port.speed_mbps >= 1000
        words.append(
            f"{figure(port.speed_mbps / 1000 if gigabits else port.speed_mbps)} {'Gb/s' if gigabits else 'Mb/s'}"
        )
    if port.pairs is not None:
        words.append(f"{port.pairs} pairs")
    return ", ".join(words)


def _power(port: Port) -> str:
    said = []
    if port.poe is not None:
        known = "an unknown class" if port.poe.poe_class is None else f"class {port.poe.poe_class}"
        said.append(f"{_verb(port.poe.role)} {known}")
    if port.power is not None:
        said.append(f"{_verb(port.power.role)} {_watts_and_volts(port.power)}".strip())
    return "; ".join(said)


def _verb(role: str) -> str:
    return "gives" if role == "source" else "takes"


def _watts_and_volts(power: PortPower) -> str:
    words = []
    if power.volts_max is not None:
        low = "" if power.volts_min in (None, power.volts_max) else f"{figure(power.volts_min or 0)} to "
        words.append(f"{low}{figure(power.volts_max)} V")
    if power.watts is not None:
        words.append(f"{figure(power.watts)} W")
    if power.breaker_a is not None:
        words.append(f"breaker {power.curve or ''}{figure(power.breaker_a)} A")
    if power.rcd_ma is not None:
        stated = f"residual current {figure(power.rcd_ma)} mA"
        words.append(stated if power.rcd_ma else "no residual-current device")
    if power.leg is not None:
        words.append(f"on {power.leg}")
    return ", ".join(words) or "power, how much is not known"


def _where(port: Port) -> str:
    words = ["outside"] if port.face == "outside" else []
    if port.through is not None:
        words.append(f"joined to {port.through}")
    return ", ".join(words)
