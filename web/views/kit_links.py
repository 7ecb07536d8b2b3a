"""``/kits/{id}/links/…``: lay a link between two ports, take one away."""

from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse

from calc.rig.kit import Kit as KitFacts
from inventory.base.changes import Change, ledger_version
from inventory.drawings.tape import COLOURS
from inventory.selectors.contents import spec_choices
from inventory.services.contents import add_link, delete_link
from inventory.services.links import EndDraft, LinkDraft
from web.components.links import link_row
from web.forms import VersionedForm
from web.page import Page
from web.views.kit import address_of, heading_of, read_kit
from web.views.kit_contents import KitFormModel, show_refused, version_of

LEAD_KINDS = ("cable", "drum")


def port_choices(kit: KitFacts) -> list[Any]:
    """Return the ports that have no link yet, by position."""
    taken = {(end.position, end.port) for link in kit.links for end in (link.a, link.b)}
    cables = {link.cable for link in kit.links}
    choices: list[Any] = [("", "choose")]
    for position in kit.positions:
        spec = position.unit.spec if position.unit is not None else position.spec
        free = [
            (f"{position.id}:{port.name}", f"{position.label} {port.name}")
            for port in spec.ports
            if (position.id, port.name) not in taken and position.id not in cables
        ]
        if free:
            choices.append((position.label, free))
    return choices


class LinkForm(VersionedForm):
    a = forms.ChoiceField(label="From")
    b = forms.ChoiceField(label="To")
    lead = forms.ChoiceField(
        required=False, label="Lead", help_text="Without one, any fitting lead: its length is then not known."
    )
    label = forms.CharField(max_length=100, required=False, label="Written on the lead")
    colour = forms.ChoiceField(
        required=False,
        label="Tape",
        choices=[("", "no colour"), *((code, word) for code, word in COLOURS.items())],
    )

    def __init__(self, *args: Any, kit: KitFacts, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ports = port_choices(kit)
        self.fields["a"].choices = self.fields["b"].choices = ports  # type: ignore[attr-defined]
        used = {link.cable for link in kit.links}
        own = [
            (f"position:{position.id}", position.label)
            for position in kit.positions
            if position.spec.kind in LEAD_KINDS and position.id not in used
        ]
        specs = [(f"spec:{spec['id']}", spec["name"]) for spec in spec_choices(LEAD_KINDS)]
        self.fields["lead"].choices = [  # type: ignore[attr-defined]
            ("", "any that fits"),
            ("In this kit", own),
            ("By its spec", specs),
        ]

    def field_of(self, path: str) -> str | None:
        begins = path.split(".")[0]
        return {"from": "a", "to": "b", "cable": "lead", "cable_spec": "lead"}.get(begins) or super().field_of(path)

    def draft(self) -> LinkDraft:
        given = self.cleaned_data
        kind, _, number = given["lead"].partition(":")
        return LinkDraft(
            a=self._end(given["a"]),
            b=self._end(given["b"]),
            cable=int(number) if kind == "position" else None,
            cable_spec=int(number) if kind == "spec" else None,
            label=given["label"],
            colour=COLOURS.get(given["colour"], ""),
        )

    def _end(self, choice: str) -> EndDraft:
        position, _, port = choice.partition(":")
        return EndDraft(position=int(position), port=port)


class NewLinkPage(Page):
    permits = {"GET": "kit.edit", "POST": "kit.edit"}
    section = "/kits/"

    def get(self, request: HttpRequest, kit_id: int) -> HttpResponse:
        ledger = ledger_version()
        heading, kit = read_kit(kit_id)
        form = self.form(LinkForm, {"version": heading["version"], "ledger": ledger}, kit=kit)
        return self.show("web/pages/kit_form.html", self._model(kit_id, heading["name"], form))

    def post(self, request: HttpRequest, kit_id: int) -> HttpResponse:
        _, kit = read_kit(kit_id)
        form = self.form(LinkForm, kit=kit)
        if self.carry_out(form, lambda c: add_link(c, kit_id, draft=form.draft()), version=version_of(kit_id)):
            return self.go_to(f"{address_of(kit_id)}#wiring")
        return show_refused(self, kit_id, form, self._model)

    def _model(self, kit_id: int, kit_name: str, form: VersionedForm) -> KitFormModel:
        return KitFormModel(
            title="New link",
            kit=kit_id,
            kit_name=kit_name,
            lead="A link joins two ports. A port takes one link.",
            button="Lay the link",
            grave=False,
            form=form,
            since=(),
        )


class RemoveLinkPage(Page):
    permits = {"GET": "kit.edit", "POST": "kit.edit"}
    section = "/kits/"

    def get(self, request: HttpRequest, kit_id: int, link_id: int) -> HttpResponse:
        ledger = ledger_version()
        heading = heading_of(kit_id)
        form = self.form(VersionedForm, {"version": heading["version"], "ledger": ledger})
        return self.show("web/pages/kit_form.html", self._model(kit_id, heading["name"], form))

    def post(self, request: HttpRequest, kit_id: int, link_id: int) -> HttpResponse:
        form = self.form(VersionedForm)
        if self.carry_out(form, lambda c: self._remove(c, kit_id, link_id), version=version_of(kit_id)):
            return self.go_to(f"{address_of(kit_id)}#wiring")
        return show_refused(self, kit_id, form, self._model)

    def _remove(self, c: Change, kit_id: int, link_id: int) -> None:
        delete_link(c, kit_id, link_id)

    def _model(self, kit_id: int, kit_name: str, form: VersionedForm) -> KitFormModel:
        _, kit = read_kit(kit_id)
        labels = {position.id: position.label for position in kit.positions}
        link = next((link for link in kit.links if link.id == self.kwargs["link_id"]), None)
        if link is None:
            raise Http404(f"{kit_name} has no such link.")
        row = link_row(link, labels)
        return KitFormModel(
            title="Take a link away",
            kit=kit_id,
            kit_name=kit_name,
            lead=f"{row.a} and {row.b} are then not joined. A lead that lies in a position of this kit stays there.",
            button="Take it away",
            grave=True,
            form=form,
            since=(),
        )
