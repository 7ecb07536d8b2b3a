"""``/units/{id}/fault/``: two taps, the port and what broke. ``/bench/flag/?tag=``: the way there by tag."""

from collections.abc import Callable
from dataclasses import dataclass

from django import forms
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from calc.vocabulary import FAULT_KINDS
from inventory.base.changes import Change
from inventory.drawings.symbols import symbol_of
from inventory.selectors.contents import unit_with_tag
from inventory.selectors.specs import ports_of_spec
from inventory.selectors.tags import MistypedShape, mistyped
from inventory.services.faults import USABLE_ALL_THE_SAME, report_fault
from web.components.faults import WHAT
from web.components.tags import TagModel, tag_model
from web.form_page import FormModel
from web.forms import PageForm
from web.page import Page
from web.views.units.forms import UnitFormPage

USABLE = {"": None, "yes": True, "no": False}


class FaultForm(PageForm):
    port = forms.ChoiceField(required=False, widget=forms.RadioSelect, label="Where")
    what = forms.ChoiceField(choices=[(kind, kind) for kind in FAULT_KINDS], label="What broke")
    usable = forms.ChoiceField(
        choices=[("", "as its kind says"), ("yes", "it may go out all the same"), ("no", "hold it back")],
        required=False,
        label="May it go out?",
    )
    note = forms.CharField(
        max_length=2000, required=False, label="Note", help_text="What you saw, what you tried, what helps meanwhile."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PortChoice:
    value: str
    """Empty: the whole thing."""
    words: str
    symbol: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KindChoice:
    value: str
    words: str
    holds_back: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultFormModel(FormModel):
    form: FaultForm
    tag: TagModel
    name: str
    ports: tuple[PortChoice, ...]
    kinds: tuple[KindChoice, ...]


class FlagPage(UnitFormPage[FaultForm]):
    permits = {"GET": "fault.report", "POST": "fault.report"}
    section = "/bench/"
    template = "web/pages/fault_flag.html"

    def version(self) -> Callable[[], int] | None:
        return None

    def begin(self) -> None:
        super().begin()
        self.ports = ports_of_spec(self.unit["spec"])

    def make_form(self) -> FaultForm:
        form = self.form(FaultForm, {"port": self.request.GET.get("port", "")})
        choices = [("", "the whole thing"), *((port["name"], port["name"]) for port in self.ports)]
        form.fields["port"].choices = choices  # type: ignore[attr-defined]
        return form

    def describe(self, form: FaultForm) -> FaultFormModel:
        chosen = form["port"].value() or ""
        whole = PortChoice(value="", words="the whole thing", symbol="", chosen=not chosen)
        return FaultFormModel(
            title="What broke?",
            button="",
            form=form,
            back=self.after(),
            back_words=self.name,
            tag=tag_model(self.unit["tag"]),
            name=self.unit["spec_name"],
            ports=(
                whole,
                *(
                    PortChoice(
                        value=port["name"],
                        words=port["name"],
                        symbol=symbol_of(port["connector"], port["side"]),
                        chosen=port["name"] == chosen,
                    )
                    for port in self.ports
                ),
            ),
            kinds=tuple(
                KindChoice(value=kind, words=WHAT[kind], holds_back=kind not in USABLE_ALL_THE_SAME)
                for kind in FAULT_KINDS
            ),
        )

    def work(self, c: Change, form: FaultForm) -> None:
        given = form.cleaned_data
        self.fault = report_fault(
            c,
            unit_id=self.object_id(),
            what=given["what"],
            port=given["port"] or None,
            usable=USABLE[given["usable"]],
            note=given["note"],
        )

    def after(self) -> str:
        fault = getattr(self, "fault", None)
        return f"/faults/{fault}/" if fault else f"/units/{self.object_id()}/"


@dataclass(frozen=True, slots=True, kw_only=True)
class FlagByTagModel:
    title: str
    typed: str
    mistyped: MistypedShape | None


class FlagByTagPage(Page):
    permits = {"GET": "fault.read"}
    section = "/bench/"

    def get(self, request: HttpRequest) -> HttpResponse:
        typed = request.GET.get("tag", "").replace("\x00", "").strip()[:40]
        unit = unit_with_tag(typed) if typed else None
        if unit is not None:
            return HttpResponseRedirect(f"/units/{unit}/fault/")
        page = FlagByTagModel(title="Flag a fault", typed=typed, mistyped=mistyped(typed))
        return self.show("web/pages/flag_by_tag.html", page)
