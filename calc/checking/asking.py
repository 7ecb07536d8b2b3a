"""Asking for the one number that would settle a check."""

from collections.abc import Iterable, Sequence

from calc.checking.compared import Compared
from calc.checking.drafts import Draft, undecided
from calc.given import widest
from calc.rig.cables import DATA
from calc.rig.demand import consumers, own_va
from calc.rig.field_table import FIELDS
from calc.rig.inputs import Input, as_input
from calc.rig.subjects import about, about_port, name_of
from calc.rig.wiring import Hop, Lead, Wired

PORT_FIELD_WORDS = {"power.watts": "the draw at port {}", "poe.class": "the class of port {}"}


def field_words(path: str) -> str:
    """Return what a technician calls a field: ``the rated current`` for ``power.rated_a``."""
    if path.startswith("ports.") and path.count(".") >= 3:
        port, sheet, field = path.removeprefix("ports.").rsplit(".", 2)
        return PORT_FIELD_WORDS[f"{sheet}.{field}"].format(port)
    return "the ports" if path == "ports" else f"the {FIELDS[path].words}"


def ask_demand(wired: Wired, hops: Iterable[Hop], decides: str, compared: Compared) -> Draft | None:
    """Return the finding that asks for the demand which is known least; None if each is settled."""
    using = {hop.load: own_va(wired, wired.place_of(hop.load), hop.load) for hop in consumers(wired, hops)}
    least_known = widest(using.values())
    if least_known is None:
        return None
    node = next(node for node, given in using.items() if given is least_known)
    place = wired.place_of(node)
    return undecided(
        about(place),
        f"Enter {field_words(least_known.name)} of {place.spec.name} in {place.path}: "
        f"only then is it known whether {decides}.",
        unlocks=least_known.name,
        compared=compared,
        inputs=[as_input(place.path, least_known)],
    )


def ask_length(
    wired: Wired, leads: Sequence[Lead], decides: str, inputs: tuple[Input, ...], compared: Compared | None
) -> Draft | None:
    """Return the finding that asks for the length of a data lead or, where all are known, for the gauge of one.

    ``decides`` is the rest of the sentence after "only then is it known whether".
    """
    for field, given in (("length_m", DATA.length_m), ("awg", DATA.thickness_of)):
        for lead in leads:
            if not given(lead).settled:
                return ask_of_lead(wired, lead, f"cable.{field}", decides, compared, inputs)
    return None


def ask_of_lead(
    wired: Wired,
    lead: Lead,
    unlocks: str,
    decides: str,
    compared: Compared | None = None,
    inputs: tuple[Input, ...] = (),
) -> Draft:
    """Return the finding that asks for one number of a lead, by its path (``"cable.length_m"``)."""
    held = wired.places.get(lead.position) if lead.position is not None else None
    name = f"the {lead.spec.name}" if lead.spec is not None else "the lead"
    what = f"{field_words(unlocks)} of {name} at {name_of(wired, lead.at)}"
    return undecided(
        about(held) if held is not None else about_port(wired, lead.at),
        f"Enter {what}: only then is it known whether {decides}.",
        unlocks=unlocks,
        compared=compared,
        inputs=inputs,
        of_spec=lead.spec.id if lead.spec is not None else None,
    )
