"""Where a number that nobody typed is typed."""

import re
from collections.abc import Callable
from urllib.parse import urlencode

from calc.rig.field_table import FIELDS
from calc.rig.kit import Kit, Position
from inventory.selectors.checks import FindingShape

PORT_NUMBER = re.compile(r"ports\.(.+)\.(?:poe\.class|speed_mbps|pairs|power\.\w+)")
"""Path of a number of a port, whose name may have dots of its own."""
May = Callable[[str], bool]
"""Says whether the reader may do what a verb names."""


def typed_on_sheet(spec: int, number: str, may: May) -> str:
    """Return the form of a number of a data sheet, or the sheet, where it is a port's or is only read."""
    if not may("spec.read"):
        return ""
    if not may("spec.edit"):
        return f"/specs/{spec}/"
    if number in FIELDS:
        return f"/specs/{spec}/numbers/{number}/"
    if number == "ports":
        return f"/specs/{spec}/ports/"
    port = PORT_NUMBER.fullmatch(number)
    return f"/specs/{spec}/ports/named/?{urlencode({'name': port[1]})}" if port else f"/specs/{spec}/"


def typed_of_unit(unit: int, number: str, may: May) -> str:
    """Return the form of a unit at the field of a number such as ``unit.firmware``, or the unit's page."""
    return f"/units/{unit}/edit/#f-{number.removeprefix('unit.')}" if may("unit.edit") else f"/units/{unit}/"


def typed_of_kit(kit: int, number: str, may: May) -> str:
    """Return the form of a kit at the field of a number such as ``kit.ambient_celsius``, or the kit's page."""
    return f"/kits/{kit}/edit/#f-{number.removeprefix('kit.')}" if may("kit.edit") else f"/kits/{kit}/"


def typed_in_brief(kit: int, number: str, may: May) -> str:
    """Return what a kit is for, at the field of a number such as ``brief.radio.rate_mbps``, or the kit's page."""
    part, *rest = number.removeprefix("brief.").split(".")
    field = "-".join(["f", part, *rest])
    return f"/kits/{kit}/brief/?part={part}#{field}" if may("kit.edit") else f"/kits/{kit}/#brief"


def typed_for_finding(kit: Kit, shape: FindingShape, may: May) -> str:
    """Return the form that takes what settles a finding; empty where a sheet has it, or the reader may not type."""
    number = shape["unlocks"] or ""
    holder, position = _place_of(kit, shape["subject"]["position"]) or (kit, None)
    if number.startswith("brief.") and may("kit.edit"):
        return typed_in_brief(holder.id, number, may)
    if number.startswith("kit.") and may("kit.edit"):
        return typed_of_kit(holder.id, number, may)
    if number.startswith("unit.") and may("unit.edit") and position is not None and position.unit is not None:
        return typed_of_unit(position.unit.id, number, may)
    return ""


def _place_of(kit: Kit, position_id: int | None) -> tuple[Kit, Position] | None:
    """Return a position with the kit that it is asked about: the one that lies there, or the one that has it."""
    for position in kit.positions:
        if position.id == position_id:
            return position.nested or kit, position
        if position.nested is not None and (found := _place_of(position.nested, position_id)) is not None:
            return found
    return None
