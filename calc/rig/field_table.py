"""The table of the fields of a data sheet, read from their declarations."""

from collections.abc import Mapping

from calc.rig.fields import Field, declared_fields
from calc.rig.kit import Spec
from calc.rig.sheets import SHEET_TYPES

SIZE = ""
"""The group of the fields that belong to the spec itself."""
FIELDS_OF: Mapping[str, tuple[Field, ...]] = {
    SIZE: tuple(declared_fields(Spec)),
    **{name: tuple(declared_fields(sheet, f"{name}.")) for name, sheet in SHEET_TYPES.items()},
}
"""Sheet → its fields; those of the spec itself under the empty name."""
FIELDS: Mapping[str, Field] = {field.path: field for fields in FIELDS_OF.values() for field in fields}
"""Path → field, in the order of the sheet."""
HEADINGS: Mapping[str, str] = {
    SIZE: "Size and weight",
    "power": "Power",
    "poe": "Power over Ethernet",
    "cable": "Cable",
    "network": "Network",
    "cooling": "Cooling",
    "battery": "Battery",
    "optics": "Optics",
    "sound": "Loudspeaker and amplifier",
}
"""Sheet → what pages call it."""
