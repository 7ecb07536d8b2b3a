"""What a source counts against its budget for a device, by its allotment rule."""

from math import ceil

from calc.errors import require_number, require_one_of
from calc.poe.classes import class_limits, require_class
from calc.poe.loss import source_power_w
from calc.poe.parts import PoeDevice
from calc.vocabulary import ALLOTMENTS

_NOISE_DIGITS = 6  # 16.1 × 10 is 161.00000000000003: no reason to ask for another tenth


def allotted_w(device: PoeDevice, granted: int | None, allotment: str) -> float:
    """Return what a source sets aside for a device to which it grants a class. [W]

    By ``"class"``: the class's watts at the source. ``"negotiated"``: what the device asks for over the data link, in
    steps of 0.1 W, with the loss of the class's longest channel. ``"measured"``: what it draws, with that loss. A
    device whose draw nobody knows counts by its class under each rule; none counts for more than the class granted.

    Args:
        device: What it draws. [-]
        granted: The class that the port grants; None: no power, nothing set aside. [-]
        allotment: ``"class"``, ``"negotiated"`` or ``"measured"``. [-]

    Raises:
        BadInput: no such class or rule, or a negative draw.

    Source: IEEE 802.3-2022 clauses 33 and 145, class tables; that a source counts by one of these rules is common
    practice.
    """
    require_one_of("allotment", allotment, ALLOTMENTS)
    if granted is None:
        return 0.0
    limits = class_limits(require_class("granted", granted))
    if allotment == "class" or device.draw_w is None:
        return limits.source_w
    drawn_w = min(require_number("draw_w", device.draw_w, least=0), limits.device_w)
    if allotment == "negotiated":
        drawn_w = min(ceil(round(drawn_w * 10, _NOISE_DIGITS)) / 10, limits.device_w)
    leaving_w = source_power_w(drawn_w, limits.channel_ohm, limits.min_source_v, limits.pairs)
    return min(leaving_w, limits.source_w)
