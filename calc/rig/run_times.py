"""How long a battery, or a supply with one in it, feeds what is linked to it."""

from collections.abc import Iterator
from math import inf

from calc.assumptions import efficiency
from calc.batteries import run_time_h, watt_hours
from calc.given import total
from calc.rig.demand import drawn, mains_w
from calc.rig.wiring import Place, Wired, power_feeds

MINUTES = 60.0


def run_minutes(wired: Wired, place: Place) -> Iterator[float | None]:
    """Yield how long a place runs its load from its battery, with all at full load; nothing where it has neither.

    The battery is new and full. A load that is not known makes the time unknown: None.
    """
    sheet, outlets = place.spec.battery, power_feeds(wired).outlets.get(place.id, ())
    hops = [hop for outlet in outlets for hop in power_feeds(wired).by_source.get(outlet, ())]
    if sheet is None or sheet.volts is None or sheet.amp_hours is None or not hops:
        return
    direct = drawn(wired, [hop.load for hop in hops if wired.ports[hop.load].carries != "mains"])
    load = total([direct, mains_w(wired, place)], "power.max_w")
    if load.high == inf:
        yield None
    elif load.high > 0:
        # What is stored leaves a battery as it is; mains are made of it by an inverter.
        share = 1.0 if place.spec.kind == "battery" else efficiency(place.spec).low
        yield MINUTES * run_time_h(watt_hours(sheet.volts, sheet.amp_hours), load.high, share)
