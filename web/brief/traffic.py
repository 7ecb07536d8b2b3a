"""What runs over the network: universes, streams, guests on the air."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from django import forms

from calc.dmx import BASIC_RATES_MBPS, SLOTS_LIMIT
from calc.rig.brief import USUAL_HZ, Radio, Stream, Universe
from inventory.services.briefs import MOST_ENTRIES
from web.brief.rows import About, Entry, Part, named
from web.brief.segments import HOW_TO_NAME
from web.named_ports import in_runs

RUN = re.compile(r"(\d{1,6})(?:\s*[-\N{EN DASH}]\s*(\d{1,6}))?")


class UniverseRow(Part):
    """Universes that are alike: ``1-4, 7``."""

    is_a = Universe
    words = "row"

    numbers = forms.CharField(
        max_length=400, label="Universes", help_text="Numbers: 1-4, 7.", widget=forms.TextInput(attrs={"size": 12})
    )
    slots = forms.IntegerField(
        min_value=1, max_value=10_000, required=False, label="Slots in use", help_text=f"Empty: {SLOTS_LIMIT} each."
    )
    hz = forms.FloatField(
        min_value=0.01, max_value=1000, required=False, label="Times a second", help_text=f"Empty: {USUAL_HZ:g}."
    )

    @classmethod
    def rows(cls, entries: Sequence[Mapping[str, Any]], about: About) -> list[Entry]:
        """Return a row for all universes that are alike."""
        alike: dict[tuple[int, float], list[Mapping[str, Any]]] = {}
        for entry in entries:
            alike.setdefault((entry["slots"], entry["hz"]), []).append(entry)
        return [
            {**cls.shown(each[0], about), "numbers": ", ".join(in_runs(str(entry["number"]) for entry in each))}
            for each in alike.values()
        ]

    def clean_numbers(self) -> list[int]:
        numbers: list[int] = []
        for piece in filter(None, map(str.strip, self.cleaned_data["numbers"].split(","))):
            run = RUN.fullmatch(piece)
            first, last = (int(run[1]), int(run[2] or run[1])) if run else (1, 0)
            if not first <= last < first + MOST_ENTRIES:
                raise forms.ValidationError(f"Write numbers such as 1-4, 7; “{piece}” is none.")
            numbers += range(first, last + 1)
        return list(dict.fromkeys(numbers))

    def asked(self) -> list[Entry]:
        given = self.given()
        numbers = given.pop("numbers", [])
        return [{"number": number, **given} for number in numbers]

    def field_of(self, path: str) -> str | None:
        return super().field_of(path.replace("number", "numbers"))


class StreamRow(Part):
    is_a = Stream
    words = "stream"

    name = forms.CharField(max_length=60, label="Name")
    mbps = forms.FloatField(min_value=0.001, max_value=1_000_000, label="Mb/s")
    source = forms.CharField(max_length=200, label="From", help_text="Place, then port: camera 1 lan.")
    sink = forms.CharField(max_length=200, required=False, label="To", help_text="Empty: out to the internet.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("source", "sink"):
            self.fields[name].widget.attrs |= {"list": "ports-of-kit", "spellcheck": "false", "autocapitalize": "none"}

    @classmethod
    def shown(cls, entry: Mapping[str, Any], about: About) -> Entry:
        ends = {"source": entry["from"], "sink": entry["to"]}
        return {
            "name": entry["name"],
            "mbps": entry["mbps"],
            **{name: about.ports.written([(end["position"], end["port"])]) for name, end in ends.items() if end},
        }

    def clean_source(self) -> Entry:
        return self._end("source") or {}

    def clean_sink(self) -> Entry | None:
        return self._end("sink")

    def _end(self, name: str) -> Entry | None:
        text = self.cleaned_data[name]
        found = named(self.about.ports.read, text) if text else []
        if len(found) > 1:
            raise forms.ValidationError(f"Name one port. {HOW_TO_NAME}")
        return {"position": found[0][0], "port": found[0][1]} if found else None


class RadioPart(Part):
    is_a = Radio
    words = "Wi-Fi users"

    clients = forms.IntegerField(min_value=1, max_value=10_000, label="Users at once")
    client_mbps = forms.FloatField(min_value=0.001, max_value=100_000, label="Mb/s for each")
    rate_mbps = forms.FloatField(
        min_value=0.1,
        max_value=100_000,
        required=False,
        label="Connected at, Mb/s",
        help_text="What a typical device says while it is connected; a download reaches less.",
    )
    basic_rate_mbps = forms.TypedChoiceField(
        coerce=float,
        empty_value=None,
        choices=[("", "not said"), *((f"{rate:g}", f"{rate:g}") for rate in sorted(BASIC_RATES_MBPS))],
        required=False,
        label="To groups, Mb/s",
        help_text="The basic rate of the access points.",
    )
