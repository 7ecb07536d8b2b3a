"""The connectors that a line of ports may name, by what they carry: code, name, symbol, everyday words."""

from dataclasses import dataclass

from calc.connector_words import ALIASES
from calc.connectors import Connector, all_connectors
from inventory.drawings.symbols import symbol_of

FIRST = ("ethernet", "fibre", "mains", "dc", "dmx")
"""What most cases are made of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ConnectorLine:
    code: str
    name: str
    symbol: str
    words: str
    """Everyday words that mean it."""


def connectors_by_use() -> tuple[tuple[str, tuple[ConnectorLine, ...]], ...]:
    """Return the connectors by what they usually carry, the network first, in the order of the register."""
    found: dict[str, list[ConnectorLine]] = {carries: [] for carries in FIRST}
    for connector in all_connectors():
        found.setdefault(connector.carries, []).append(_line(connector))
    return tuple((carries, tuple(lines)) for carries, lines in found.items() if lines)


def _line(connector: Connector) -> ConnectorLine:
    return ConnectorLine(
        code=connector.code,
        name=connector.name,
        symbol=symbol_of(connector.code, connector.sides[-1]),
        words=", ".join(word for word, code in ALIASES.items() if code == connector.code),
    )
