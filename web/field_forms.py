"""Form fields made from the table of fields."""

from django import forms

from calc.rig.fields import Field, Takes


def form_field(field: Field) -> forms.Field:
    """Return the form field of one field of a data sheet; empty means not known, the bounds are those of the table."""
    if field.takes is Takes.NUMBER:
        return forms.FloatField(min_value=field.least, max_value=field.most, required=False, label=field.label)
    if field.takes is Takes.WHOLE:
        least, most = int(field.least), int(field.most)
        return forms.IntegerField(min_value=least, max_value=most, required=False, label=field.label)
    values = field.choices or (("yes", "no") if field.takes is Takes.YES_OR_NO else ())
    if values:
        choices = [("", "not known"), *((value, value) for value in values)]
        return forms.ChoiceField(choices=choices, required=False, label=field.label)
    return forms.CharField(max_length=int(field.most), required=False, label=field.label)
