"""Sound mains rigs of stages, tents and festival sites, as an electrician of the trade would build them."""

from tests.rigs.declare import Rig, part
from tests.rigs.gear import C13_SCHUKO, OUTLET_16A

RIGS = (
    Rig(
        name="a 2.2 kW kettle on the lead that came with it",
        parts={
            "wall": OUTLET_16A,
            "kettle": part(
                "other", "in c14 220-240V in", name="kettle", power={"max_w": 2200, "protection_class": "I"}
            ),
        },
        links=(("kettle:in - wall:1", C13_SCHUKO),),
        why="A heater has a power factor of 1: 9.6 A of 10 A. Nobody wrote it, so it may be asked for, not stopped.",
        source="IEC 60320-1; common practice",
    ),
)
