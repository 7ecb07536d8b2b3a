"""A compact way to ask something of a kit: ends are written ``"switch A:1"``."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from calc.rig.brief import Brief, Segment, Stream
from calc.rig.ends import End
from calc.rig.kit import Kit


def ask(of: Kit, **brief: Any) -> Kit:
    """Return the kit with that brief."""
    return replace(of, brief=Brief(**brief))


def end(of: Kit, text: str) -> End:
    label, port = text.rsplit(":", 1)
    return End(position=position_id(of, label), port=port)


def position_id(of: Kit, label: str) -> int:
    (found,) = (position.id for position in of.positions if position.label == label)
    return found


def segment(of: Kit, name: str, ports: Iterable[str] = (), **fields: Any) -> Segment:
    return Segment(name=name, ports=tuple(end(of, text) for text in ports), **fields)


def stream(of: Kit, name: str, mbps: float, source: str, sink: str | None = None) -> Stream:
    return Stream(name=name, mbps=mbps, source=end(of, source), sink=end(of, sink) if sink else None)
