"""The circuits of a venue, as far as anybody asked."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.connectors import all_connectors
from scheduling.selectors.venues import CircuitShape
from web.components.numbers import figure, with_unit


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitLine:
    id: int
    name: str
    where: str
    breaker: str
    """``16 A, curve B, 230 V``."""
    residual: str
    socket: str
    used: str
    unknown: int
    """How many of its facts nobody has asked yet."""


def circuit_lines(shapes: Sequence[CircuitShape]) -> tuple[CircuitLine, ...]:
    """Return circuits in their order."""
    names = {connector.code: connector.name for connector in all_connectors()}
    return tuple(_line(shape, names) for shape in shapes)


def _line(shape: CircuitShape, names: dict[str, str]) -> CircuitLine:
    breaker = [f"{figure(shape['breaker_a'])} A"] if shape["breaker_a"] is not None else []
    breaker += [f"curve {shape['curve']}"] if shape["curve"] else []
    breaker += [f"{figure(shape['volts'])} V"] if shape["volts"] is not None else []
    asked = ("breaker_a", "volts", "curve", "rcd_ma", "connector", "already_used_a")
    return CircuitLine(
        id=shape["id"],
        name=shape["name"],
        where=", ".join(part for part in (shape["zone"], shape["leg"]) if part),
        breaker=", ".join(breaker) or "not known",
        residual="not known"
        if shape["rcd_ma"] is None
        else f"{figure(shape['rcd_ma'])} mA{', type ' + shape['rcd_type'] if shape['rcd_type'] else ''}",
        socket=names.get(shape["connector"] or "", shape["connector"] or "not known"),
        used=with_unit(shape["already_used_a"], "A"),
        unknown=sum(shape[name] is None for name in asked),  # type: ignore[literal-required]  # names of the shape
    )
