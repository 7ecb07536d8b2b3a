"""Ports that must be reached with the lid shut, and the segments of the network."""

from collections.abc import Mapping
from typing import Any

from django import forms

from calc.connectors import all_connectors
from calc.rig.brief import ADDRESS_SERVERS, VLANS, PortsAsked, Segment
from calc.vocabulary import CARRIES
from web.brief.rows import About, Entry, Part, named

SERVERS = {"here": "this kit", "elsewhere": "something else", "none": "nobody"}
HOW_TO_NAME = "Place, then ports: case LAN 1-4, switch A 8."


class OutsideRow(Part):
    is_a = PortsAsked
    words = "kind"

    quantity = forms.IntegerField(min_value=1, max_value=10_000, label="How many ports")
    carries = forms.ChoiceField(choices=[("", "choose"), *((each, each) for each in CARRIES)], label="For")
    connector = forms.ChoiceField(
        choices=lambda: [("", "any"), *((entry.code, entry.name) for entry in all_connectors())],
        required=False,
        label="Connector",
    )


class SegmentRow(Part):
    is_a = Segment
    words = "segment"

    name = forms.CharField(max_length=60, label="Name", help_text="Such as lighting.")
    vlan = forms.IntegerField(
        min_value=VLANS[0],
        max_value=VLANS[1],
        required=False,
        label="VLAN",
        help_text="None where its gear is its own.",
    )
    block = forms.CharField(max_length=18, required=False, label="Addresses", help_text="Such as 10.0.10.0/24.")
    addresses_from = forms.ChoiceField(
        choices=[("", "not said"), *((each, SERVERS[each]) for each in ADDRESS_SERVERS)],
        required=False,
        label="Given by",
    )
    ports = forms.CharField(
        max_length=2000,
        required=False,
        label="Its ports",
        widget=forms.Textarea(attrs={"rows": 2, "spellcheck": "false", "autocapitalize": "none"}),
        help_text=f"{HOW_TO_NAME} A port of several segments is a trunk.",
    )

    @classmethod
    def shown(cls, entry: Mapping[str, Any], about: About) -> Entry:
        ports = about.ports.written((end["position"], end["port"]) for end in entry["ports"])
        return {**super().shown(entry, about), "ports": ports}

    def clean_ports(self) -> list[Entry]:
        found = named(self.about.ports.read, self.cleaned_data["ports"])
        return [{"position": position, "port": port} for position, port in found]
