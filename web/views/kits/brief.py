"""``/kits/{id}/brief/``: what a kit is for, written as a whole."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse

from inventory.base.changes import Change, ledger_version
from inventory.selectors.briefs import brief_of
from inventory.selectors.contents import tags_of
from inventory.services.kits import edit_kit
from web.brief.form import BriefForm
from web.brief.rows import About
from web.brief.themes import Theme, themes_of
from web.form_page import FormModel, FormPage
from web.named_ports import NamedPorts, in_runs
from web.views.kits.contents import version_of
from web.views.kits.page import address_of, read_kit


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefModel(FormModel):
    address: str
    themes: tuple[Theme, ...]
    wrong: tuple[Theme, ...]
    """Those in which something is refused."""
    places: tuple[tuple[str, str], ...]
    """Label of each position that has ports, and what they are called."""
    ports: tuple[str, ...]
    """What each port is called with its position, to choose from."""


class BriefPage(FormPage[BriefForm]):
    permits = {"GET": "kit.edit", "POST": "kit.edit"}
    section = "/kits/"
    template = "web/pages/kit_brief.html"
    noun = "kit"

    def begin(self) -> None:
        self.ledger = ledger_version()
        self.heading, kit = read_kit(self.object_id())
        self.brief = brief_of(kit)
        computers = {unit for each in self.brief["controllers"] for unit in each["computers"]} if self.brief else set()
        self.about = About(ports=NamedPorts.of(kit), tags=tags_of(computers) if computers else {})

    def post(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        if request.POST.get("verb") != "more":
            return super().post(request, **kwargs)
        self.begin()
        form = BriefForm(about=self.about, brief=None)
        form.lay_in(request.POST)
        return self.show(self.template, self.describe(form))

    def object_id(self) -> int:
        return int(self.kwargs["kit_id"])

    def version(self) -> Callable[[], int]:
        return version_of(self.object_id())

    def make_form(self) -> BriefForm:
        stamp = {"version": self.heading["version"], "ledger": self.ledger}
        return self.form(BriefForm, {**BriefForm.shown(self.brief), **stamp}, about=self.about, brief=self.brief)

    def describe(self, form: BriefForm) -> BriefModel:
        ports = self.about.ports
        themes = themes_of(form, wanted=self.request.GET.get("part", ""))
        return BriefModel(
            title=f"What {self.heading['name']} is for",
            lead="Write what matters for the show. What is left empty is not judged.",
            button="Save",
            form=form,
            back=self.after(),
            back_words=self.heading["name"],
            address=self.request.path,
            themes=themes,
            wrong=tuple(theme for theme in themes if theme.wrong),
            places=tuple(
                (label, ", ".join(in_runs(names)))
                for label, names in zip(ports.labels.values(), ports.ports.values(), strict=True)
                if names
            ),
            ports=tuple(ports.every()),
        )

    def work(self, c: Change, form: BriefForm) -> None:
        edit_kit(c, self.object_id(), fields={"brief": form.asked()})

    def after(self) -> str:
        return f"{address_of(self.object_id())}#brief"
