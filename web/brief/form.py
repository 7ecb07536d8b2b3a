"""The whole form: what is asked of a kit, by theme."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.http import QueryDict

from calc.rig.brief import STANDS, TRANSPORTS
from inventory.base.errors import DomainError, InvalidError
from inventory.selectors.briefs import BriefShape
from web.brief.carriage import LiftRow
from web.brief.rows import About, Entry, Part, Rows, rows_of
from web.brief.segments import OutsideRow, SegmentRow
from web.brief.traffic import RadioPart, StreamRow, UniverseRow
from web.brief.upkeep import ConfigurationPart, ControllerRow, FirmwareRow
from web.forms import VersionedForm

ROWS: Mapping[str, type[Part]] = {
    "outside": OutsideRow,
    "segments": SegmentRow,
    "universes": UniverseRow,
    "streams": StreamRow,
    "lifts": LiftRow,
    "controllers": ControllerRow,
    "firmware": FirmwareRow,
}
"""Lists of a brief → how one entry is written."""
ONCE: Mapping[str, type[Part]] = {"radio": RadioPart, "configuration": ConfigurationPart}
PLACES = {
    "indoors": "indoors",
    "shade": "outdoors, in the shade",
    "sun": "outdoors, in the sun",
    "outdoors": "outdoors, sun or shade not known",
}
TRAVELS = {"road": "by road", "air": "by air, as people's baggage"}


class BriefForm(VersionedForm):
    """What is asked of a kit. What is left empty is not asked."""

    venue_blocks = forms.CharField(
        max_length=2000,
        required=False,
        label="Addresses in use by the venue",
        help_text="Blocks with commas between them: 192.168.10.0/24, 10.0.0.0/8.",
    )
    internet_up_mbps = forms.FloatField(
        min_value=0.001, max_value=1_000_000, required=False, label="The venue lets out, Mb/s"
    )
    transport = forms.ChoiceField(
        choices=[("", "not said"), *((each, TRAVELS[each]) for each in TRANSPORTS)], required=False, label="It travels"
    )

    stands = forms.ChoiceField(
        choices=[("", "not said"), *((each, PLACES[each]) for each in STANDS)], required=False, label="It works"
    )

    def __init__(self, data: QueryDict | None = None, *, about: About, brief: BriefShape | None, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        asked: Mapping[str, Any] = brief or {}
        self.rows = {name: rows_of(part, data, about=about, prefix=name) for name, part in ROWS.items()}
        self.once = {name: part(data, about=about, prefix=name) for name, part in ONCE.items()}
        if data is None:
            for name, rows in self.rows.items():
                rows.lay(ROWS[name].rows(asked.get(name, ()), about))
            for name, part in self.once.items():
                part.initial = part.shown(asked[name], about) if asked.get(name) else {}

    @staticmethod
    def shown(brief: BriefShape | None) -> Entry:
        """Return what the form's own fields show."""
        if brief is None:
            return {}
        return {
            "venue_blocks": ", ".join(brief["venue_blocks"]),
            "internet_up_mbps": brief["internet_up_mbps"],
            "transport": brief["transport"],
            "stands": brief["stands"],
        }

    def clean_venue_blocks(self) -> list[str]:
        return [block.strip() for block in self.cleaned_data["venue_blocks"].split(",") if block.strip()]

    def is_valid(self) -> bool:
        return all([super().is_valid(), *(part.is_valid() for part in self._parts())])

    @property
    def status(self) -> int:
        return 400 if self.refusal is None and self.is_bound and not self.is_valid() else super().status

    def refuse(self, error: DomainError) -> None:
        if not isinstance(error, InvalidError):
            super().refuse(error)
            return
        self.refusal = error
        places = [self._place_of(problem.field.removeprefix("brief.")) for problem in error.fields]
        for (form, field), problem in zip(places, error.fields, strict=True):
            form.add_error(field, problem.message)

    def _place_of(self, path: str) -> tuple[forms.Form, str | None]:
        """Return the part and the field that a refusal is about, from its path in the brief."""
        name, _, inner = path.partition(".")
        if name in self.once:
            return self.once[name], self.once[name].field_of(inner)
        place, _, within = inner.partition(".")
        if name in self.rows and place.isdecimal():
            part = self.rows[name].part_of(int(place))
            return part, part.field_of(within)
        return (self.rows[name].forms[-1], None) if name in self.rows else (self, self.field_of(name))

    def lay_in(self, back: QueryDict) -> None:
        super().lay_in(back)
        for part in self._parts():
            part.lay_in(back)

    def _parts(self) -> list[Part | Rows]:
        return [*self.once.values(), *self.rows.values()]

    def asked(self) -> Entry | None:
        """Return what the service takes; None where nothing is asked."""
        plain = {name: self.cleaned_data[name] or None for name in ("internet_up_mbps", "transport", "stands")}
        asked: Entry = {name: value for name, value in plain.items() if value is not None}
        asked |= {name: rows.asked() for name, rows in self.rows.items()}
        asked |= {name: given[0] for name, part in self.once.items() if (given := part.asked())}
        asked["venue_blocks"] = self.cleaned_data["venue_blocks"]
        return asked if any(asked.values()) else None
