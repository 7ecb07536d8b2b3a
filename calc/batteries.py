"""What a battery holds, how long it feeds a load, and how one of lithium may fly.

For passengers' baggage. The operator's and the state's own rules come on top; damaged batteries do not fly at all.
"""

from calc.errors import require_number

CABIN_MOST_WH = 100.0
APPROVAL_MOST_WH = 160.0


def watt_hours(volts: float, amp_hours: float) -> float:
    """Return the energy of a battery. [Wh]

    Args:
        volts: Nominal. [V]
        amp_hours: Rated. [Ah]

    Raises:
        BadInput: no volts or no capacity.

    Source: definition, as printed on the battery.
    """
    require_number("volts", volts, above=0)
    require_number("amp_hours", amp_hours, above=0)
    return volts * amp_hours


def run_time_h(wh: float, load_w: float, efficiency: float = 1.0) -> float:
    """Return how long a battery feeds a load at most: new, full, and at the rate that it is rated for. [h]

    A lead battery emptied within minutes gives half of its rated energy or less, and an old or cold one less again.

    Args:
        wh: Energy of the battery. [Wh]
        load_w: What is fed from it. [W]
        efficiency: Of what stands between, an inverter say. [-]

    Raises:
        BadInput: no energy, no load, or an efficiency that is not above 0 and at most 1.

    Source: definition; what a lead battery gives at high rates is common practice.
    """
    require_number("wh", wh, above=0)
    require_number("load_w", load_w, above=0)
    require_number("efficiency", efficiency, above=0, most=1)
    return wh * efficiency / load_w


def air_transport(wh: float) -> str:
    """Return how a battery may fly: ``"cabin"``, ``"approval"`` (cabin, if the operator agrees) or ``"cargo"`` only.

    Args:
        wh: Energy of one battery, limits included: 100 is cabin, 160 is approval. [Wh]

    Raises:
        BadInput: no energy.

    Source: ICAO technical instructions table 8-1.
    """
    require_number("wh", wh, above=0)
    if wh <= CABIN_MOST_WH:
        return "cabin"
    return "approval" if wh <= APPROVAL_MOST_WH else "cargo"
