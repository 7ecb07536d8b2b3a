"""What people type: read by shape only. Rules live in services, whose refusals are told in the form."""

import json
from collections.abc import Mapping
from typing import Any, Self

from django import forms
from django.http import QueryDict

from inventory.base.errors import DomainError, InvalidError

TICKED = frozenset({"checkbox", "radio"})
"""Controls that nothing is typed into."""


class PageForm(forms.Form):
    """A form that keeps what was typed when a service refuses, and says why beside the field or above all of them."""

    use_required_attribute = False
    was_kept = False
    """Filled with what was typed before somebody had to sign in."""
    refusal: DomainError | None = None

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "f-%s")
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            self._dress(name, field)

    def add_field(self, name: str, field: forms.Field) -> None:
        """Add a field that only this form has, after those that stand."""
        self.fields[name] = field
        self._dress(name, field)

    def _dress(self, name: str, field: forms.Field) -> None:
        if not field.widget.is_hidden and getattr(field.widget, "input_type", "") not in TICKED:
            field.widget.attrs.setdefault("autocomplete", "off")
        if field.help_text:
            field.widget.attrs["aria-describedby"] = f"f-{self.add_prefix(name)}-help"

    def get_initial_for_field(self, field: forms.Field, field_name: str) -> Any:
        """Show 120 and not 120.0."""
        value = super().get_initial_for_field(field, field_name)
        return int(value) if isinstance(value, float) and value.is_integer() else value

    @property
    def status(self) -> int:
        """The status of an answer that shows this form again."""
        if self.refusal is not None:
            return self.refusal.status
        return 400 if self.errors else 200

    def refuse(self, error: DomainError) -> None:
        """Tell a refusal: by field where it names one that is here, else above the form."""
        self.refusal = error
        if not isinstance(error, InvalidError):
            self.add_error(None, error.detail)
            return
        for problem in error.fields:
            self.add_error(self.field_of(problem.field), problem.message)

    def field_of(self, path: str) -> str | None:
        """Return which field here a refusal is about, from its dotted path in the command."""
        return path if path in self.fields else None

    def lay_in(self, back: QueryDict) -> None:
        """Show kept values as at a first showing."""
        for name, field in self.fields.items():
            sent = self.add_prefix(name)
            if isinstance(field, forms.MultipleChoiceField):
                self.initial[name] = back.getlist(sent)
            elif isinstance(field, forms.BooleanField):  # a box that is not ticked is not sent
                self.initial[name] = sent in back
            elif sent in back:
                self.initial[name] = back[sent]

    def renewed(self, **values: Any) -> Self:
        """Put hidden values of the page as it stands now into a form that is shown again."""
        data: Any = self.data.copy()  # type: ignore[attr-defined]  # a QueryDict, once something was sent
        for name, value in values.items():
            data[name] = str(value)
        self.data = data
        return self


class VersionedForm(PageForm):
    """A form over something that others may change meanwhile: it remembers what it was made from."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    """Of the thing that is edited."""
    ledger = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    """Of the whole company, to tell what happened since."""


class EditForm(VersionedForm):
    """A form over several facts of one thing, which writes only those that were changed in it.

    Two people may edit different facts at once: whoever sends later is told what the other changed, and sending again
    leaves that as it is.
    """

    was = forms.CharField(required=False, widget=forms.HiddenInput)
    """What the form showed at first, as JSON: name of the control to the value that it would send untouched."""

    sources: Mapping[str, tuple[str, ...]] = {}
    """Fact to the controls that it is made of, where that is not the control of the same name."""

    def get_initial_for_field(self, field: forms.Field, field_name: str) -> Any:
        if field_name == "was" and "was" not in self.initial:
            return json.dumps({name: _shown(self[name]) for name in self._controls()})
        return super().get_initial_for_field(field, field_name)

    def edited(self, facts: Mapping[str, Any]) -> dict[str, Any]:
        """Return those facts of which a control was changed; all of them where it is not known what was shown."""
        try:
            was = json.loads(self.cleaned_data["was"])
        except ValueError:
            return dict(facts)
        changed = {name for name in self._controls() if _sent(self[name]) != was.get(name)}
        return {name: fact for name, fact in facts.items() if changed.intersection(self.sources.get(name, (name,)))}

    def _controls(self) -> list[str]:
        return [name for name, field in self.fields.items() if not field.widget.is_hidden]


def _shown(bound: forms.BoundField) -> str:
    """Return what a control sends when it is left as it is shown."""
    widget, value = bound.field.widget, bound.value()
    if isinstance(widget, forms.CheckboxInput):
        return "on" if value else ""
    formatted = widget.format_value(value)
    if isinstance(formatted, (list, tuple)):
        formatted = formatted[0] if formatted else ""
    return "" if formatted is None else str(formatted)


def _sent(bound: forms.BoundField) -> str:
    """Return what a control sent."""
    value = bound.data
    if isinstance(bound.field.widget, forms.CheckboxInput):
        return "on" if value else ""
    return "" if value is None else str(value)
