from collections.abc import Mapping
from typing import Any, NoReturn

from rest_framework import serializers
from rest_framework.fields import empty
from rest_framework.settings import api_settings

UNKNOWN_FIELD = "There is no such field here. Known fields: {known}."


class StrictSerializer(serializers.Serializer[Any]):
    """Parses the shape of a body; a field that it does not know is an error that names it, at every depth."""

    def to_internal_value(self, data: Any) -> Any:
        unknown = sorted(set(data) - set(self.fields)) if isinstance(data, Mapping) else []
        problems: dict[str, Any] = {
            str(name): [
                serializers.ErrorDetail(UNKNOWN_FIELD.format(known=", ".join(self.fields)), code="unknown-field")
            ]
            for name in unknown
        }
        try:
            value = super().to_internal_value(data)
        except serializers.ValidationError as error:
            if not isinstance(error.detail, dict):
                raise
            problems |= error.detail
            value = empty
        if problems:
            raise serializers.ValidationError(problems)
        return value

    def fail_field(self, field: str, message: str, code: str = "invalid") -> NoReturn:
        raise serializers.ValidationError({field or api_settings.NON_FIELD_ERRORS_KEY: [message]}, code=code)

    @classmethod
    def read(cls, data: Any, **kwargs: Any) -> dict[str, Any]:
        """Return the validated data.

        Raises:
            serializers.ValidationError: with every field that cannot be used.
        """
        serializer = cls(data=data, **kwargs)
        serializer.is_valid(raise_exception=True)
        validated: dict[str, Any] = serializer.validated_data
        return validated


class EmptyInput(StrictSerializer):
    """A verb that takes no fields."""
