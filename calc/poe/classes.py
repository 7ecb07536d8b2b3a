"""Classes of power over Ethernet: what each takes from a source and leaves for a device."""

from dataclasses import dataclass
from functools import cache

from calc.errors import BadInput

_SOURCE_W = (15.4, 4.0, 7.0, 15.4, 30.0, 45.0, 60.0, 75.0, 90.0)
_DEVICE_W = (12.95, 3.84, 6.49, 12.95, 25.5, 40.0, 51.0, 62.0, 71.3)
_TYPE_OF_CLASS = (1, 1, 1, 1, 2, 3, 3, 4, 4)
_MIN_SOURCE_V = {1: 44.0, 2: 50.0, 3: 50.0, 4: 52.0}
_CHANNEL_OHM = {1: 20.0, 2: 12.5, 3: 12.5, 4: 12.5}
_MIN_DEVICE_V = (37.0, 37.0, 37.0, 37.0, 42.5, 44.3, 42.5, 42.9, 41.1)
_DEMOTED_CLASSES = (6, 4, 3)

CLASSES = tuple(range(9))
MOST_CLASS_OVER_TWO_PAIRS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassLimits:
    """What a class stands for, over the longest channel that its type allows."""

    source_w: float
    """What a source sets aside for the class. [W]"""
    device_w: float
    """What a device of the class may draw. [W]"""
    pairs: int
    """Pairs that carry the power: 2, or 4 as two pairsets in parallel."""
    min_source_v: float
    """Least volts at the source's port. [V]"""
    channel_ohm: float
    """Loop resistance of one pairset of the longest channel. [Ω]"""
    min_device_v: float
    """Least volts at the device, at the end of the longest channel. [V]"""


def class_limits(poe_class: int) -> ClassLimits:
    """Return the published limits of a class.

    Args:
        poe_class: 0 to 8; 0 ("not classified") stands for the same power as 3. [-]

    Raises:
        BadInput: no such class, or a class that is not known (None): ask with the lowest and with the highest that it
            can be.

    Source: IEEE 802.3-2022 clauses 33 and 145, class tables; least volts at the device: clause 33 for classes 0 to 4,
    table 145-29 for classes 5 to 8 (8 from memory).
    """
    return _limits(require_class("poe_class", poe_class))


@cache
def _limits(poe_class: int) -> ClassLimits:
    type_of_class = _TYPE_OF_CLASS[poe_class]
    return ClassLimits(
        source_w=_SOURCE_W[poe_class],
        device_w=_DEVICE_W[poe_class],
        pairs=_pairs(poe_class),
        min_source_v=_MIN_SOURCE_V[type_of_class],
        channel_ohm=_CHANNEL_OHM[type_of_class],
        min_device_v=_MIN_DEVICE_V[poe_class],
    )


def granted_class(asked: int, port_class: int) -> int | None:
    """Return the class that a port grants to a device, or None if it gives no power at all.

    A port that has what is asked grants it; otherwise it demotes to the highest of the classes 6, 4 and 3 that it has.

    Args:
        asked: The device's class, 0 to 8. [-]
        port_class: The highest class of the port, 0 to 8. [-]

    Raises:
        BadInput: no such class.

    Source: IEEE 802.3-2022 clauses 33 and 145, power demotion (second-hand).
    """
    require_class("asked", asked)
    has_w = _SOURCE_W[require_class("port_class", port_class)]
    if _SOURCE_W[asked] <= has_w:
        return asked
    return next((lower for lower in _DEMOTED_CLASSES if _SOURCE_W[lower] <= has_w), None)


def runs_on(poe_class: int, granted: int | None, reduced_class_ok: int | None) -> bool | None:
    """Return whether a device does its work on the class that it is granted; None where nobody has said.

    Args:
        poe_class: The device's class, 0 to 8. [-]
        granted: The class that its port grants, or None for no power. [-]
        reduced_class_ok: The lowest class on which the device still does its work, or None if not known. [-]

    Raises:
        BadInput: no such class, or a ``reduced_class_ok`` above the device's own class.

    Source: IEEE 802.3-2022 clauses 33 and 145, class tables.
    """
    full_w = _DEVICE_W[require_class("poe_class", poe_class)]
    if reduced_class_ok is not None and _DEVICE_W[require_class("reduced_class_ok", reduced_class_ok)] > full_w:
        raise BadInput("reduced_class_ok", reduced_class_ok, f"a class with no more power than class {poe_class}")
    if granted is None:
        return False
    granted_w = _DEVICE_W[require_class("granted", granted)]
    if granted_w >= full_w:
        return True
    return None if reduced_class_ok is None else granted_w >= _DEVICE_W[reduced_class_ok]


def require_class(argument: str, value: int | None) -> int:
    """Return ``value`` if it is one of the classes 0 to 8.

    Raises:
        BadInput: anything else, None (not known) included.
    """
    if isinstance(value, bool) or not isinstance(value, int) or value not in CLASSES:
        raise BadInput(
            argument, value, "a class from 0 to 8; where it is not known, ask with both ends of what it can be"
        )
    return value


def _pairs(poe_class: int) -> int:
    return 2 if poe_class <= MOST_CLASS_OVER_TWO_PAIRS else 4
