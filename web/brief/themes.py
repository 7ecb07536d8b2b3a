"""The parts of the form as the page shows them: what belongs together, under a title."""

from collections.abc import Mapping
from dataclasses import dataclass

from django import forms

from web.brief.form import BriefForm
from web.brief.rows import Part, Rows

THEMES: Mapping[str, tuple[str, str, tuple[str, ...]]] = {
    "outside": (
        "Ports outside",
        "How many of each kind must be reached with the lid shut.",
        ("outside",),
    ),
    "network": (
        "Segments",
        "Each is one network: a VLAN, or gear that is wired to nothing else.",
        ("segments", "venue_blocks"),
    ),
    "lighting": (
        "Lighting control",
        "Universes that are sent over the network.",
        ("universes",),
    ),
    "traffic": (
        "Streams",
        "What flows steadily from one port to another, or out to the internet.",
        ("streams", "internet_up_mbps"),
    ),
    "air": (
        "Wi-Fi users",
        "What the access points serve. Channels, powers and places are for local rules and the venue.",
        ("radio",),
    ),
    "carriage": (
        "Carrying",
        (
            "Where the whole kit is lifted by hand, on a sound floor. Stairs, pushing and carrying are not worked out: "
            "judge the place and the people, and take wheels or a ramp where there are any."
        ),
        ("lifts", "transport"),
    ),
    "heat": (
        "Sun",
        "A lid in the sun adds heat that the sum of what works inside does not have. Left out: in the shade.",
        ("stands",),
    ),
    "setup": (
        "Set-up",
        "What the gear was set up with.",
        ("configuration", "controllers", "firmware"),
    ),
}
"""Name → title, one sentence, and the parts of the brief that it holds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    name: str
    title: str
    lead: str
    plain: tuple[forms.BoundField, ...]
    """Fields of the form itself."""
    once: tuple[Part, ...]
    rows: tuple[Rows, ...]
    wrong: bool
    asked: int
    """How much of it is filled."""
    is_open: bool


def themes_of(form: BriefForm, *, wanted: str) -> tuple[Theme, ...]:
    """Return the themes; those are open that hold something, and the one that holds the part called ``wanted``."""
    return tuple(_theme(form, name, wanted) for name in THEMES)


def _theme(form: BriefForm, name: str, wanted: str) -> Theme:
    title, lead, parts = THEMES[name]
    plain = tuple(form[part] for part in parts if part in form.fields)
    once = tuple(form.once[part] for part in parts if part in form.once)
    rows = tuple(form.rows[part] for part in parts if part in form.rows)
    wrong = (
        any(field.errors for field in plain)
        or any(part.errors for part in once)
        or any(any(each.errors) or each.non_form_errors() for each in rows)
    )
    asked = (
        sum(bool(field.value()) for field in plain)
        + sum(part.is_filled for part in once)
        + sum(each.filled for each in rows)
    )
    return Theme(
        name=name,
        title=title,
        lead=lead,
        plain=plain,
        once=once,
        rows=rows,
        wrong=wrong,
        asked=asked,
        is_open=wrong or asked > 0 or wanted in {name, *parts},
    )
