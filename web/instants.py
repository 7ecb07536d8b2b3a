"""Instants as people type them: by the clocks of the company, to the minute."""

from datetime import UTC, datetime
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator

EARLIEST = datetime(1970, 1, 1, tzinfo=UTC)
LATEST = datetime(2200, 1, 1, tzinfo=UTC)


class InstantField(forms.DateTimeField):
    """A day and an hour, in the zone that ``use_company_time`` chose."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
        super().__init__(widget=widget, **kwargs)
        words = "Give an instant between 1970 and 2200."
        self.validators += [MinValueValidator(EARLIEST, words), MaxValueValidator(LATEST, words)]
