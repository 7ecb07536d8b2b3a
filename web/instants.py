"""Instants as people type them: by the clocks of the company, to the minute unless seconds count."""

from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator

from inventory.base.bounds import EARLIEST, LATEST


class InstantField(forms.DateTimeField):
    """A day and an hour, in the zone that ``use_company_time`` chose; with seconds where they decide something."""

    def __init__(self, *, to_the_second: bool = False, **kwargs: Any) -> None:
        step, clock = (1, "%H:%M:%S") if to_the_second else (60, "%H:%M")
        widget = forms.DateTimeInput(attrs={"type": "datetime-local", "step": step}, format=f"%Y-%m-%dT{clock}")
        super().__init__(widget=widget, **kwargs)
        words = "Give an instant between 1970 and 2200."
        self.validators += [MinValueValidator(EARLIEST, words), MaxValueValidator(LATEST, words)]
