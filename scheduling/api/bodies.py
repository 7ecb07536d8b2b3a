"""Bodies that several verbs take."""

from rest_framework import serializers

from inventory.base.api.fields import IdField, TextField
from inventory.base.api.serializers import StrictSerializer

MOST_BUMPED = 100


class AcceptanceInput(StrictSerializer):
    """What a verb may cost: shortfalls of its own, or gear of named others, who are told the reason."""

    accept_shortfalls = serializers.BooleanField(required=False)
    bump = serializers.ListField(child=IdField(), max_length=MOST_BUMPED, required=False)
    reason = TextField(required=False)


class NeverLeftInput(StrictSerializer):
    """Of a verb that gives gear up: say so if it is promised for now and has never left."""

    never_left = serializers.BooleanField(required=False)
