"""Fields that refuse, with a sentence, what a database would choke on."""

from datetime import datetime
from math import isfinite
from typing import Any

from rest_framework import serializers

from inventory.base.bounds import EARLIEST, LARGEST_ID, LATEST


class IdField(serializers.IntegerField):
    """The id of a row."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(min_value=1, max_value=LARGEST_ID, **kwargs)

    def to_internal_value(self, data: Any) -> int:
        if isinstance(data, (bool, float)):
            self.fail("invalid")
        return super().to_internal_value(data)


class WholeField(serializers.IntegerField):
    """A whole number within 32 bits unless narrower bounds are given."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("min_value", 0)
        kwargs.setdefault("max_value", 2**31 - 1)
        super().__init__(**kwargs)

    def to_internal_value(self, data: Any) -> int:
        if isinstance(data, bool) or (isinstance(data, float) and not data.is_integer()):
            self.fail("invalid")
        return super().to_internal_value(data)


class NumberField(serializers.FloatField):
    """A finite number, not negative unless ``min_value`` says so."""

    default_error_messages = {"finite": "Send a finite number."}

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("min_value", 0)
        kwargs.setdefault("max_value", 1e9)
        super().__init__(**kwargs)

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool):
            self.fail("invalid")
        value = super().to_internal_value(data)
        if not isfinite(value):
            self.fail("finite")
        return value


class InstantField(serializers.DateTimeField):
    """An RFC 3339 instant with its offset, between 1970 and 2200."""

    default_error_messages = {
        "offset": "Give the offset from UTC as well, for example 2027-05-01T06:00:00Z.",
        "range": "Give an instant between 1970 and 2200.",
    }

    def to_internal_value(self, value: Any) -> datetime:
        if isinstance(value, str):
            try:
                given = datetime.fromisoformat(value)
            except ValueError:
                given = None
            if given is not None and given.tzinfo is None:
                self.fail("offset")
        instant: datetime = super().to_internal_value(value)
        if not EARLIEST <= instant <= LATEST:
            self.fail("range")
        return instant


class TextField(serializers.CharField):
    """Text without control characters that no keyboard types; blank allowed unless told otherwise."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 200)
        kwargs.setdefault("allow_blank", True)
        super().__init__(**kwargs)

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("invalid")
        text = super().to_internal_value(data)
        try:
            text.encode()
        except UnicodeEncodeError:  # a lone surrogate from a \ud800 escape
            self.fail("invalid")
        return text
