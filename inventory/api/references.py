"""How a body names a position of a kit, and a port of it."""

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from inventory.base.api.fields import TextField
from inventory.base.api.serializers import StrictSerializer
from inventory.base.bounds import LARGEST_ID


@extend_schema_field(
    {"oneOf": [{"type": "integer", "minimum": 1}, {"type": "string", "minLength": 1, "maxLength": 60}]}
)
class ReferenceField(serializers.Field[Any, Any, Any, Any]):
    """A position: its id (a whole number) or its label (text)."""

    default_error_messages = {"invalid": "Name a position by its id (a number) or its label (text)."}

    def to_internal_value(self, data: Any) -> int | str:
        if isinstance(data, int) and not isinstance(data, bool) and 1 <= data <= LARGEST_ID:
            return data
        if isinstance(data, str) and 0 < len(data) <= 60 and "\x00" not in data:
            return data
        raise serializers.ValidationError(self.error_messages["invalid"], code="invalid")

    def to_representation(self, value: Any) -> Any:
        return value


class EndInput(StrictSerializer):
    position = ReferenceField()
    port = TextField(max_length=60, allow_blank=False)
