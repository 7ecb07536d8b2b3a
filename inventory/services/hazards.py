"""Damage that can hurt somebody: to the shell or the contacts of what carries mains, or of a battery.

Such a unit is withdrawn whatever the reporter thinks of it, and is tested before it goes out again (common practice;
the company's own risk assessment, local codes and a person trained for it decide).
"""

from collections.abc import Iterable

from inventory.base.changes import Change
from inventory.errors import ForElectricsError, TestNeededError
from inventory.models import Fault, Inspection, Port, Unit

TOUCHABLE = frozenset({"shell", "contact"})
"""Damage that can lay bare what must not be touched."""


def is_hazard(unit: Unit, what: str, port: Port | None) -> bool:
    """Return whether a fault of this kind keeps the unit from use, whoever says otherwise. At most one statement."""
    if what not in TOUCHABLE:
        return False
    if unit.spec.kind == "battery":
        return True
    if port is not None:
        return port.carries == "mains"
    return unit.spec.ports.filter(carries="mains").exists()


def is_hazardous(fault: Fault) -> bool:
    """Return whether ``is_hazard`` holds for a fault on record."""
    port = None if fault.port_name is None else fault.unit.spec.ports.filter(name=fault.port_name).first()
    return is_hazard(fault.unit, fault.what, port)


def require_electrics(fault: Fault, *, electrics: bool, reason: str) -> None:
    """Refuse to call such a unit usable, unless a person for electrics says why.

    Raises:
        ForElectricsError: the person is not, or gives no reason.
    """
    if is_hazardous(fault) and not (electrics and reason.strip()):
        raise ForElectricsError(
            f"{fault.unit.tag} is damaged where it can hurt somebody. A person with the role electrics releases it "
            "and writes why; or have it repaired and tested.",
            fault=fault.pk,
        )


def require_test(c: Change, unit: Unit, faults: Iterable[Fault], *, waiver: str) -> None:
    """Refuse to finish a repair of such damage before a passed test, unless it is written why none is needed.

    Raises:
        TestNeededError: there is no passed test since the damage was reported, and no waiver.
    """
    hazards = [fault for fault in faults if is_hazardous(fault)]
    if not hazards or waiver.strip():
        return
    since = max(fault.reported_at for fault in hazards)
    if not Inspection.objects.filter(unit=unit, passed=True, at__gte=since).exists():
        raise TestNeededError(
            f"{unit.tag} was damaged where it can hurt somebody. Test it and record the passed test, or write why no "
            "test is needed.",
            unit=unit.pk,
            faults=[fault.pk for fault in hazards],
        )
