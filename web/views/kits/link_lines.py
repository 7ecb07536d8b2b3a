"""``/kits/{id}/links/``: all connections of a kit as lines, saved and checked at once."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse

from calc.rig.kit import Kit as KitFacts
from inventory.base.changes import Change
from inventory.selectors.contents import spec_choices
from inventory.services.links import LinkDraft
from inventory.services.rewiring import rewire
from web.form_page import FormModel
from web.forms import VersionedForm
from web.link_lines import LinkLines, UnreadLinesError
from web.named_ports import NamedPorts
from web.views.kits.contents import KitFormPage
from web.views.kits.links import LEAD_KINDS
from web.views.kits.page import address_of, facts_of

LONGEST = 100_000


class LinesForm(VersionedForm):
    lines = forms.CharField(
        max_length=LONGEST,
        required=False,
        strip=False,
        label="Connections, one a line",
        help_text="From; to; lead; what is written on it; tape. All but the ends may be left out.",
        widget=forms.Textarea(attrs={"rows": 20, "spellcheck": "false", "autocapitalize": "none", "class": "long"}),
    )

    def __init__(self, *args: Any, lines: LinkLines, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.takes = lines
        self.drafts: list[LinkDraft] = []

    def clean_lines(self) -> str:
        text: str = self.cleaned_data["lines"]
        try:
            self.drafts = self.takes.read(text)
        except UnreadLinesError as error:
            raise forms.ValidationError(error.sentences) from error
        return text

    def field_of(self, path: str) -> str | None:
        return "lines"


@dataclass(frozen=True, slots=True, kw_only=True)
class LinesModel(FormModel):
    examples: tuple[tuple[str, str], ...]
    added: tuple[str, ...]
    removed: tuple[str, ...]
    was_read: bool
    """What would change was asked for, and nothing is saved."""


EXAMPLES = (
    ("two ports, any lead that fits", "case LAN 1 rear; switch A 1"),
    (
        "with the lead, what is written on it, and its tape",
        "case LAN 1 rear; switch A 1; Patch lead, 0.5 m; W-11; blue",
    ),
    ("a run of ports meets a run as long", "case LAN 1-4 rear; switch A 1-4"),
    ("cells of a spreadsheet, or a dash", "camera 1 lan - case LAN 3"),
)


class LinkLinesPage(KitFormPage[LinesForm]):
    template = "web/pages/kit_links.html"

    def begin(self) -> None:
        super().begin()
        self.facts = facts_of(self.object_id())
        self.lines = lines_of(self.facts)

    def make_form(self) -> LinesForm:
        return self.form(LinesForm, {**self.stamp(), "lines": self.lines.written(self.facts)}, lines=self.lines)

    def describe(self, form: LinesForm) -> LinesModel:
        was_read = self.request.POST.get("verb") == "read" and form.is_valid()
        before, after = set(self.lines.written(self.facts).splitlines()), set()
        if was_read:
            after = set(self.lines.told(form.drafts))
        return LinesModel(
            title=f"Connections of {self.heading['name']}",
            button="Save and check",
            form=form,
            back=self.after(),
            back_words=self.heading["name"],
            examples=EXAMPLES,
            added=tuple(sorted(after - before)) if was_read else (),
            removed=tuple(sorted(before - after)) if was_read else (),
            was_read=was_read,
        )

    def post(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        if request.POST.get("verb") != "read":
            return super().post(request, **kwargs)
        self.begin()
        form = self.make_form()
        return self.refused(form, self.show(self.template, self.describe(form)))

    def work(self, c: Change, form: LinesForm) -> None:
        rewire(c, self.object_id(), drafts=form.drafts)

    def after(self) -> str:
        return f"{address_of(self.object_id())}#wiring"


def lines_of(kit: KitFacts) -> LinkLines:
    """Return what lines about a kit may name; one statement."""
    return LinkLines(
        ports=NamedPorts.of(kit),
        own_leads={each.label: each.id for each in kit.positions if each.spec.kind in LEAD_KINDS},
        types={spec["name"]: spec["id"] for spec in spec_choices(LEAD_KINDS)},
        colours=frozenset(link.colour for link in kit.links),
    )
