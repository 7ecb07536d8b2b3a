"""Parsing of ports."""

from typing import Any

from rest_framework import serializers

from calc.rig import kit as calc_kit
from calc.vocabulary import (
    BREAKER_CURVES,
    CARRIES,
    FACES,
    OUTLET_LEGS,
    POE_ROLES,
    POWER_ROLES,
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
    leg = serializers.ChoiceField(choices=OUTLET_LEGS, allow_null=True, required=False)


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
