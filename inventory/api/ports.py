"""Parsing of ports and data sheets."""

from typing import Any

from rest_framework import serializers

from calc.rig import kit as calc_kit
from calc.vocabulary import (
    ALLOTMENTS,
    BREAKER_CURVES,
    CARRIES,
    FACES,
    POE_ROLES,
    POWER_ROLES,
    PROTECTION_CLASSES,
    SIDES,
)
from inventory.base.api.fields import NumberField, TextField, WholeField
from inventory.base.api.serializers import StrictSerializer


class PortPoeInput(StrictSerializer):
    role = serializers.ChoiceField(choices=POE_ROLES)
    reduced_class_ok = WholeField(max_value=8, allow_null=True, required=False)

    def get_fields(self) -> dict[str, Any]:
        # "class" is a word of the language and cannot be an attribute
        return {**super().get_fields(), "class": WholeField(max_value=8, allow_null=True, required=False)}


class PortPowerInput(StrictSerializer):
    role = serializers.ChoiceField(choices=POWER_ROLES)
    volts_min = NumberField(max_value=1000, allow_null=True, required=False)
    volts_max = NumberField(max_value=1000, allow_null=True, required=False)
    watts = NumberField(max_value=1_000_000, allow_null=True, required=False)
    breaker_a = NumberField(max_value=10_000, allow_null=True, required=False)
    curve = serializers.ChoiceField(choices=BREAKER_CURVES, allow_null=True, required=False)
    rcd_ma = NumberField(max_value=10_000, allow_null=True, required=False)


class PortInput(StrictSerializer):
    name = TextField(max_length=60, allow_blank=False)
    connector = TextField(max_length=40, allow_blank=False)
    side = serializers.ChoiceField(choices=SIDES)
    carries = serializers.ChoiceField(choices=CARRIES)
    face = serializers.ChoiceField(choices=FACES, required=False)
    through = TextField(max_length=60, allow_null=True, required=False)
    group = TextField(max_length=60, allow_null=True, required=False)
    speed_mbps = NumberField(max_value=1_000_000, allow_null=True, required=False)
    pairs = WholeField(min_value=1, max_value=100, allow_null=True, required=False)
    pinout = TextField(max_length=60, allow_null=True, required=False)
    poe = PortPoeInput(allow_null=True, required=False)
    power = PortPowerInput(allow_null=True, required=False)


def read_port(data: dict[str, Any]) -> calc_kit.Port:
    """Return the port that validated data describe; an empty text means that nothing was said."""
    given = {name: value for name, value in data.items() if value not in ("", None)}
    if poe := given.pop("poe", None):
        poe = dict(poe)
        given["poe"] = calc_kit.PortPoe(poe_class=poe.pop("class", None), **poe)
    if power := given.pop("power", None):
        given["power"] = calc_kit.PortPower(**power)
    return calc_kit.Port(**given)


class PowerInput(StrictSerializer):
    rated_a = NumberField(max_value=10_000, allow_null=True, required=False)
    at_volts = NumberField(min_value=1, max_value=1000, allow_null=True, required=False)
    max_w = NumberField(max_value=1_000_000, allow_null=True, required=False)
    typical_w = NumberField(max_value=1_000_000, allow_null=True, required=False)
    power_factor = NumberField(min_value=0.01, max_value=1, allow_null=True, required=False)
    third_harmonic = NumberField(max_value=2, allow_null=True, required=False)
    leakage_ma = NumberField(max_value=10_000, allow_null=True, required=False)
    inrush_a = NumberField(max_value=100_000, allow_null=True, required=False)
    inrush_ms = NumberField(max_value=100_000, allow_null=True, required=False)
    protection_class = serializers.ChoiceField(choices=PROTECTION_CLASSES, allow_null=True, required=False)
    efficiency = NumberField(min_value=0.01, max_value=1, allow_null=True, required=False)
    output_volts = NumberField(max_value=1000, allow_null=True, required=False)
    output_w = NumberField(max_value=1_000_000, allow_null=True, required=False)


class PoeInput(StrictSerializer):
    budget_w = NumberField(max_value=100_000, allow_null=True, required=False)
    allotment = serializers.ChoiceField(choices=ALLOTMENTS, allow_null=True, required=False)
    efficiency = NumberField(min_value=0.01, max_value=1, allow_null=True, required=False)


class CableInput(StrictSerializer):
    length_m = NumberField(max_value=1_000_000, allow_null=True, required=False)
    awg = WholeField(min_value=-3, max_value=40, allow_null=True, required=False)
    area_mm2 = NumberField(min_value=0.01, max_value=10_000, allow_null=True, required=False)
    stranded = serializers.BooleanField(allow_null=True, required=False)
    category = TextField(max_length=20, allow_null=True, required=False)
    pairs = WholeField(min_value=1, max_value=100, allow_null=True, required=False)
    rated_a = NumberField(max_value=10_000, allow_null=True, required=False)
    coiled_a = NumberField(max_value=10_000, allow_null=True, required=False)
    fuse_a = NumberField(max_value=10_000, allow_null=True, required=False)


class NetworkInput(StrictSerializer):
    managed = serializers.BooleanField(allow_null=True, required=False)
    vlans = serializers.BooleanField(allow_null=True, required=False)
    snooping = serializers.BooleanField(allow_null=True, required=False)
    querier = serializers.BooleanField(allow_null=True, required=False)
    dhcp_server = serializers.BooleanField(allow_null=True, required=False)


class CoolingInput(StrictSerializer):
    fan_m3h = NumberField(max_value=1_000_000, allow_null=True, required=False)
    max_ambient_celsius = NumberField(min_value=-50, max_value=200, allow_null=True, required=False)


class BatteryInput(StrictSerializer):
    volts = NumberField(max_value=1000, allow_null=True, required=False)
    amp_hours = NumberField(max_value=100_000, allow_null=True, required=False)
