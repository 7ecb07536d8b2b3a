"""What a data sheet may say about ports and provenance, with a sentence for each refusal."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

from calc.connectors import connector
from calc.errors import BadInput
from calc.ports_text import UnreadText, parse
from calc.rig import kit as calc_kit
from calc.rig.field_table import FIELDS
from calc.rig.sheets import SHEET_TYPES
from calc.vocabulary import PROVENANCES
from inventory.base.errors import FieldProblem, InvalidError

MOST_PORTS = 200
NEVER_ZERO = frozenset(path for path, field in FIELDS.items() if not field.may_be_zero)
"""Numbers of a sheet that are divided by, or that no thing has: a zero there is somebody's way to say "not known"."""
PORT_NEVER_ZERO = ("speed_mbps", "power.volts_max", "power.breaker_a")
ZERO = "Nothing has 0 there. Leave it out where nobody knows it."


def ports_from_text(text: str, *, kind: str | None) -> tuple[calc_kit.Port, ...]:
    """Return the ports of a spec of that kind that a line such as ``1-4 8p8c 1G class4 out; dc 48-57V 78W`` describes.

    Raises:
        InvalidError: part of the line cannot be read; the message names its column.
    """
    try:
        return parse(text, kind)
    except UnreadText as error:
        raise InvalidError(
            str(error),
            errors=[FieldProblem(field="ports_text", code="unread", message=str(error))],
            column=error.column,
        ) from error


def joined_both_ways(ports: Sequence[calc_kit.Port]) -> tuple[calc_kit.Port, ...]:
    """Return the ports with ``through`` filled in at the other end where only one end names it."""
    named_by = {port.through: port.name for port in ports if port.through}
    return tuple(
        replace(port, through=named_by[port.name]) if port.through is None and port.name in named_by else port
        for port in ports
    )


def refuse_bad_ports(ports: Sequence[calc_kit.Port]) -> None:
    """Raise unless every port can be.

    Raises:
        InvalidError: lists every port that cannot.
    """
    problems = [problem for index, port in enumerate(ports) for problem in _port_problems(index, port)]
    problems += list(_list_problems(ports))
    if problems:
        raise InvalidError("Some ports cannot be used; each is listed.", errors=problems)


def _list_problems(ports: Sequence[calc_kit.Port]) -> Iterator[FieldProblem]:
    if len(ports) > MOST_PORTS:
        yield FieldProblem(field="ports", code="too-many", message=f"A type has at most {MOST_PORTS} ports.")
    counts = Counter(port.name for port in ports)
    by_name = {port.name: port for port in ports}
    for index, port in enumerate(ports):
        if counts[port.name] > 1:
            yield _problem(index, "name", f"The name {port.name} is used {counts[port.name]} times.")
        if port.through is None:
            continue
        other = by_name.get(port.through)
        if other is None or other is port:
            yield _problem(index, "through", f"There is no other port {port.through} to join it to.")
        elif other.through not in {None, port.name}:
            yield _problem(index, "through", f"Port {port.through} is joined to {other.through} already.")


def _port_problems(index: int, port: calc_kit.Port) -> Iterator[FieldProblem]:
    try:
        sides = connector(port.connector).sides
    except BadInput:
        yield _problem(index, "connector", f"There is no connector {port.connector} in the register (/connectors/).")
    else:
        if port.side not in sides:
            yield _problem(index, "side", f"A {port.connector} exists as {' and '.join(sides)} only.")
    if port.poe is not None and port.carries != "ethernet":
        yield _problem(index, "poe", "Power over Ethernet needs a port that carries ethernet.")
    for path in PORT_NEVER_ZERO:
        sheet, _, field = path.rpartition(".")
        if getattr(getattr(port, sheet) if sheet else port, field, None) == 0:
            yield _problem(index, path, ZERO)
    if port.power is not None and (port.power.volts_min or 0) > (port.power.volts_max or float("inf")):
        yield _problem(index, "power.volts_max", "The highest volts are below the lowest.")


def refuse_zeros(fields: Mapping[str, Any]) -> None:
    """Raise where a sheet has a zero that no thing has; ports are looked at with the rest of them.

    Raises:
        InvalidError: lists every such zero.
    """
    sheets = {name: fields[name] for name in SHEET_TYPES if fields.get(name)}
    written = {name: value for name, value in fields.items() if name not in SHEET_TYPES}
    written |= {f"{name}.{field}": value for name, sheet in sheets.items() for field, value in sheet.items()}
    problems = [
        FieldProblem(field=path, code="invalid", message=ZERO) for path in sorted(NEVER_ZERO) if written.get(path) == 0
    ]
    if problems:
        raise InvalidError("Some numbers cannot be 0; each is listed.", errors=problems)


def _problem(index: int, field: str, message: str) -> FieldProblem:
    return FieldProblem(field=f"ports.{index}.{field}", code="invalid", message=message)


def refuse_bad_provenance(provenance: Mapping[str, str], ports: Sequence[str]) -> None:
    """Raise unless every key is the path of a number and every value a known provenance.

    Raises:
        InvalidError: lists every entry that is not.
    """
    paths = _number_paths(ports)
    problems = [
        FieldProblem(field=f"provenance.{path}", code="unknown-field", message=f"There is no number {path} on a sheet.")
        for path in provenance
        if path not in paths
    ]
    problems += [
        FieldProblem(field=f"provenance.{path}", code="invalid", message=f"Write one of: {', '.join(PROVENANCES)}.")
        for path, value in provenance.items()
        if path in paths and value not in PROVENANCES
    ]
    if problems:
        raise InvalidError("Some provenance cannot be used; each is listed.", errors=problems)


def _number_paths(ports: Sequence[str]) -> set[str]:
    paths = set(FIELDS)
    for name in ports:
        paths |= {f"ports.{name}.{field}" for field in ("speed_mbps", "pairs")}
        paths |= {f"ports.{name}.poe.{field}" for field in ("class", "reduced_class_ok")}
        paths |= {f"ports.{name}.power.{field.name}" for field in fields(calc_kit.PortPower)}
    return paths
