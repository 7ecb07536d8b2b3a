"""``/specs/new/``: a data sheet begun by a line of text, which is read back while it is typed."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse

from calc.ports_text import LONGEST_TEXT
from calc.rig.field_table import FIELDS
from calc.vocabulary import PROVENANCES, SPEC_KINDS
from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.services.spec_rules import ports_from_text
from inventory.services.specs import SpecFields, create_spec
from web.components.connectors import ConnectorLine, connectors_by_use
from web.components.ports import PortLine, alike_together, port_lines
from web.components.sheet import DATA_SHEET
from web.field_forms import form_field
from web.form_page import FormModel, FormPage
from web.forms import PageForm
from web.nearest_words import Nearest, nearest

EXAMPLES = (
    ("a switch, four of eight ports powered", "1-4 8p8c 1G class4 out; 5-8 8p8c 1G; dc 48-57V 78W"),
    ("a camera", "lan 8p8c 1G class4 in"),
    ("a supply", "in c14 100-240V 100W; out dc 54V 90W out"),
    ("a network lead", "a, b 8p8c plug"),
    ("the panel of a case", "LAN 1-8 8p8c-rugged outside; DMX 1-2 xlr-5 outside"),
)
FIRST_NUMBERS = ("weight_kg", "power.max_w", "poe.budget_w", "cable.length_m")
"""Few numbers answer most questions; the others are typed on the page of the sheet."""


class NewSpecForm(PageForm):
    name = forms.CharField(max_length=200, label="Name", help_text="Make and model as the crew calls it.")
    kind = forms.ChoiceField(choices=[("", "choose"), *((kind, kind) for kind in SPEC_KINDS)], label="Kind")
    ports_text = forms.CharField(
        max_length=LONGEST_TEXT,
        required=False,
        label="Its ports, in a line",
        widget=forms.Textarea(attrs={"rows": 3, "spellcheck": "false", "autocapitalize": "none"}),
        help_text="Names, a connector, then speed, class, volts or watts. A semicolon begins the next.",
    )
    origin = forms.ChoiceField(
        choices=[(origin, origin) for origin in PROVENANCES if origin != "unknown"],
        initial=DATA_SHEET,
        label="The numbers above are from",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for path in FIRST_NUMBERS:
            self.add_field(path.replace(".", "-"), form_field(FIELDS[path]))
        self.order_fields([name for name in self.fields if name != "origin"])

    def field_of(self, path: str) -> str | None:
        return "ports_text" if path.startswith("ports") else super().field_of(path)

    def spec(self) -> SpecFields:
        """Return what the service takes.

        Raises:
            InvalidError: part of the line cannot be read.
        """
        given = self.cleaned_data
        fields: dict[str, Any] = {"name": given["name"], "kind": given["kind"], "provenance": {}}
        if given["ports_text"]:
            fields["ports"] = ports_from_text(given["ports_text"], kind=given["kind"])
        for path in FIRST_NUMBERS:
            value = given[path.replace(".", "-")]
            if value is None:
                continue
            field = FIELDS[path]
            if field.sheet:
                fields[field.sheet] = {field.name: value}
            else:
                fields[field.name] = value
            fields["provenance"][path] = given["origin"]
        return fields  # type: ignore[return-value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was understood of a line of ports."""

    ports: int
    lines: tuple[PortLine, ...]
    refusal: str
    before: str
    """The line up to what could not be read."""
    unread: str
    nearest: Nearest | None
    """A word with which it would be read further."""
    empty: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NewSpecModel(FormModel):
    form: NewSpecForm
    reading: Reading
    examples: tuple[tuple[str, str], ...]
    connectors: tuple[tuple[str, tuple[ConnectorLine, ...]], ...]


class NewSpecPage(FormPage[NewSpecForm]):
    permits = {"GET": "spec.edit", "POST": "spec.edit"}
    section = "/specs/"
    template = "web/pages/spec_new.html"

    def post(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        if request.POST.get("verb") != "read" and "mended" not in request.POST:
            return super().post(request, **kwargs)
        if self.wants_part():
            return self.show_part("web/parts/reading.html", read_back(request.POST))
        typed = request.POST.copy()
        typed["ports_text"] = typed.get("mended", typed.get("ports_text", ""))
        form = NewSpecForm()
        form.lay_in(typed)
        return self.show(self.template, self.describe(form))

    def make_form(self) -> NewSpecForm:
        return self.form(NewSpecForm)

    def describe(self, form: NewSpecForm) -> NewSpecModel:
        return NewSpecModel(
            title="New type",
            button="Write the sheet",
            form=form,
            back="/specs/",
            back_words="Types",
            reading=read_back({name: form[name].value() or "" for name in ("ports_text", "kind")}),
            examples=EXAMPLES,
            connectors=connectors_by_use(),
        )

    def work(self, c: Change, form: NewSpecForm) -> None:
        self.made = create_spec(c, fields=form.spec())

    def after(self) -> str:
        return f"/specs/{self.made}/"


def read_back(typed: Any) -> Reading:
    """Return what a line means so far, as ``ports_text`` and ``kind`` were typed."""
    text = typed.get("ports_text", "")
    kind = typed.get("kind") if typed.get("kind") in SPEC_KINDS else None
    try:
        ports = ports_from_text(text, kind=kind)
    except InvalidError as error:
        column = error.members.get("column")
        start = column - 1 if isinstance(column, int) else 0
        return Reading(
            ports=0,
            lines=(),
            refusal=error.detail,
            before=text[:start],
            unread=text[start:],
            nearest=nearest(text, start, kind),
            empty=False,
        )
    return Reading(
        ports=len(ports),
        lines=alike_together(port_lines(ports)),
        refusal="",
        before="",
        unread="",
        nearest=None,
        empty=not text.strip(),
    )
