"""Power over Ethernet: classes, the loss along a run, and which device goes into which hole.

Figures for planning; the devices' data sheets and local codes decide.
"""

from calc.poe.allocation import PoeAllocation, allocate
from calc.poe.allotment import allotted_w
from calc.poe.channel import PoeLink, link
from calc.poe.classes import CLASSES, ClassLimits, class_limits, granted_class, runs_on
from calc.poe.loss import device_power_w, source_power_w
from calc.poe.parts import PoeChannel, PoeDevice, PoePort, PoeSource

__all__ = [
    "CLASSES",
    "ClassLimits",
    "PoeAllocation",
    "PoeChannel",
    "PoeDevice",
    "PoeLink",
    "PoePort",
    "PoeSource",
    "allocate",
    "allotted_w",
    "class_limits",
    "device_power_w",
    "granted_class",
    "link",
    "runs_on",
    "source_power_w",
]
