"""What forms draw by themselves."""

import re

from django import forms
from django.forms.renderers import DjangoTemplates


def test_a_list_of_choices_is_what_django_draws() -> None:
    widget = forms.Select(choices=[("", "choose"), ("Kits", [("kit-1", "Cam & desk"), (2, "<b>")]), (None, "none")])
    given = {"name": "what", "value": "kit-1", "attrs": {"id": "f-what", "aria-invalid": "true", "hidden": True}}
    theirs = widget.render(**given, renderer=DjangoTemplates())
    without_gaps = (re.sub(r"\s*\n\s*", "", drawn) for drawn in (widget.render(**given), theirs))
    assert next(without_gaps) == next(without_gaps)
