from inventory.models.check import Acceptance, Check, Finding
from inventory.models.company import Company
from inventory.models.fault import Downtime, Fault, Repair
from inventory.models.inspection import Inspection
from inventory.models.kit import Kit, Link, LinkEnd, Position
from inventory.models.location import Location
from inventory.models.sheets import (
    SHEETS,
    SpecBattery,
    SpecCable,
    SpecCooling,
    SpecNetwork,
    SpecOptics,
    SpecPoe,
    SpecPower,
    SpecSound,
)
from inventory.models.spec import Port, Spec
from inventory.models.unit import Tag, Unit, UnitPort

__all__ = [
    "SHEETS",
    "Acceptance",
    "Check",
    "Company",
    "Downtime",
    "Fault",
    "Finding",
    "Inspection",
    "Kit",
    "Link",
    "LinkEnd",
    "Location",
    "Port",
    "Position",
    "Repair",
    "Spec",
    "SpecBattery",
    "SpecCable",
    "SpecCooling",
    "SpecNetwork",
    "SpecOptics",
    "SpecPoe",
    "SpecPower",
    "SpecSound",
    "Tag",
    "Unit",
    "UnitPort",
]
