"""What the gear is set up with: saved configuration, software that can change it, firmware."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django import forms

from calc.rig.brief import Configuration, Controller, Firmware
from inventory.selectors.contents import units_with_tags
from web.brief.rows import About, Entry, Part, named
from web.instants import InstantField

TEXT = {"spellcheck": "false", "autocapitalize": "none"}


class ConfigurationPart(Part):
    is_a = Configuration
    words = "saved configuration"

    mark = forms.CharField(max_length=100, label="Saved as", help_text="A copy in a second kit has the same name.")
    saved_at = InstantField(to_the_second=True, label="Saved at")

    @classmethod
    def shown(cls, entry: Mapping[str, Any], about: About) -> Entry:
        return {"mark": entry["mark"], "saved_at": datetime.fromisoformat(entry["saved_at"])}

    def given(self) -> Entry:
        given = super().given()
        return {**given, "saved_at": given["saved_at"].isoformat()}


class ControllerRow(Part):
    is_a = Controller
    words = "software"

    name = forms.CharField(max_length=60, label="Software")
    positions = forms.CharField(
        max_length=2000,
        required=False,
        label="Changes",
        help_text="Places: switch A, switch B.",
        widget=forms.TextInput(attrs={"class": "long", **TEXT}),
    )
    computers = forms.CharField(
        max_length=2000,
        required=False,
        label="Computers",
        help_text="Tags of those that have it; one is enough.",
        widget=forms.TextInput(attrs={"class": "long", **TEXT}),
    )

    @classmethod
    def shown(cls, entry: Mapping[str, Any], about: About) -> Entry:
        return {
            "name": entry["name"],
            "positions": ", ".join(place["label"] for place in entry["positions"]),
            "computers": ", ".join(about.tags[unit] for unit in entry["computers"]),
        }

    def clean_positions(self) -> list[int]:
        found: list[int] = named(self.about.ports.read_positions, self.cleaned_data["positions"])
        return found

    def clean_computers(self) -> list[int]:
        tags = self.cleaned_data["computers"].replace(",", " ").split()
        units = units_with_tags(tags) if tags else {}
        unknown = [f"No unit has the tag {tag}." for tag in tags if tag.lower() not in units]
        if unknown:
            raise forms.ValidationError(unknown)
        return list(dict.fromkeys(units[tag.lower()] for tag in tags))


class FirmwareRow(Part):
    is_a = Firmware
    words = "version"

    position = forms.TypedChoiceField(coerce=int, label="Place")
    version = forms.CharField(max_length=60, label="Meant to run", help_text="Firmware, as it says itself.")

    def __init__(self, *args: Any, about: About, **kwargs: Any) -> None:
        super().__init__(*args, about=about, **kwargs)
        self.fields["position"].choices = [("", "choose"), *about.ports.labels.items()]  # type: ignore[attr-defined]
