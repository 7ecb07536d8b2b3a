"""A kit's brief in a body: what is asked of it."""

from typing import Any

from rest_framework import serializers

from calc.dmx import UNIVERSES_LIMIT
from calc.lifting import COUPLINGS, TEAM_SHARES
from calc.rig.brief import ADDRESS_SERVERS, STANDS, TRANSPORTS, VLANS
from calc.vocabulary import CARRIES
from inventory.api.references import EndInput, ReferenceField
from inventory.base.api.fields import IdField, InstantField, NumberField, TextField, WholeField
from inventory.base.api.serializers import StrictSerializer
from inventory.base.bounds import LARGEST_COUNT
from inventory.services.briefs import MOST_ENTRIES


class PortsAskedInput(StrictSerializer):
    carries = serializers.ChoiceField(choices=CARRIES)
    quantity = WholeField(min_value=1, max_value=LARGEST_COUNT)
    connector = TextField(max_length=40, allow_blank=False, allow_null=True, required=False)


class SegmentInput(StrictSerializer):
    name = TextField(max_length=60, allow_blank=False)
    vlan = WholeField(min_value=VLANS[0], max_value=VLANS[1], allow_null=True, required=False)
    block = TextField(max_length=18, allow_blank=False, allow_null=True, required=False)
    addresses_from = serializers.ChoiceField(choices=ADDRESS_SERVERS, allow_null=True, required=False)
    ports = serializers.ListField(child=EndInput(), required=False, max_length=MOST_ENTRIES)


class UniverseInput(StrictSerializer):
    number = WholeField(min_value=1, max_value=UNIVERSES_LIMIT)
    slots = WholeField(min_value=1, max_value=LARGEST_COUNT, required=False)
    hz = NumberField(min_value=0.01, max_value=1000, required=False)


class StreamInput(StrictSerializer):
    name = TextField(max_length=60, allow_blank=False)
    mbps = NumberField(min_value=0.001, max_value=1_000_000)
    to = EndInput(allow_null=True, required=False)

    def get_fields(self) -> dict[str, Any]:
        # "from" is a word of the language and cannot be an attribute
        return {"from": EndInput(), **super().get_fields()}


class RadioInput(StrictSerializer):
    clients = WholeField(min_value=1, max_value=LARGEST_COUNT)
    client_mbps = NumberField(min_value=0.001, max_value=100_000)
    rate_mbps = NumberField(min_value=0.1, max_value=100_000, allow_null=True, required=False)
    basic_rate_mbps = NumberField(min_value=1, max_value=54, allow_null=True, required=False)


class LiftInput(StrictSerializer):
    name = TextField(max_length=60, allow_blank=False)
    horizontal_cm = NumberField(max_value=300)
    origin_cm = NumberField(max_value=300)
    travel_cm = NumberField(max_value=300)
    asymmetry_deg = NumberField(max_value=180, required=False)
    lifts_per_min = NumberField(max_value=60, required=False)
    duration_h = NumberField(min_value=0.01, max_value=8, required=False)
    coupling = serializers.ChoiceField(choices=COUPLINGS, required=False)
    people = WholeField(min_value=1, max_value=len(TEAM_SHARES), required=False)


class ConfigurationInput(StrictSerializer):
    mark = TextField(max_length=100, allow_blank=False)
    saved_at = InstantField()


class ControllerInput(StrictSerializer):
    name = TextField(max_length=60, allow_blank=False)
    positions = serializers.ListField(child=ReferenceField(), max_length=MOST_ENTRIES)
    computers = serializers.ListField(child=IdField(), max_length=MOST_ENTRIES)


class FirmwareInput(StrictSerializer):
    position = ReferenceField()
    version = TextField(max_length=60, allow_blank=False)


class BriefInput(StrictSerializer):
    outside = serializers.ListField(child=PortsAskedInput(), required=False, max_length=MOST_ENTRIES)
    segments = serializers.ListField(child=SegmentInput(), required=False, max_length=MOST_ENTRIES)
    venue_blocks = serializers.ListField(
        child=TextField(max_length=18, allow_blank=False), required=False, max_length=MOST_ENTRIES
    )
    universes = serializers.ListField(child=UniverseInput(), required=False, max_length=MOST_ENTRIES)
    streams = serializers.ListField(child=StreamInput(), required=False, max_length=MOST_ENTRIES)
    internet_up_mbps = NumberField(min_value=0.001, max_value=1_000_000, allow_null=True, required=False)
    radio = RadioInput(allow_null=True, required=False)
    lifts = serializers.ListField(child=LiftInput(), required=False, max_length=MOST_ENTRIES)
    transport = serializers.ChoiceField(choices=TRANSPORTS, allow_null=True, required=False)
    stands = serializers.ChoiceField(choices=STANDS, allow_null=True, required=False)
    configuration = ConfigurationInput(allow_null=True, required=False)
    controllers = serializers.ListField(child=ControllerInput(), required=False, max_length=MOST_ENTRIES)
    firmware = serializers.ListField(child=FirmwareInput(), required=False, max_length=MOST_ENTRIES)


def read_brief(data: Any) -> dict[str, Any] | None:
    """Return what a body asks as the service takes it: plain JSON, a stream's ends called source and sink."""
    if data is None:
        return None
    brief: dict[str, Any] = plain(data)
    for stream in brief.get("streams", ()):
        stream["source"], stream["sink"] = stream.pop("from"), stream.pop("to", None)
    return brief


def plain(value: Any) -> Any:
    """Return validated data as plain JSON."""
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain(inner) for inner in value]
    return value.isoformat() if hasattr(value, "isoformat") else value
