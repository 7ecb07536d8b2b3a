"""``/kits/{id}/links/…``: lay a link between two ports, take one away."""

from typing import Any

from django import forms
from django.http import Http404

from calc.rig.kit import Kit as KitFacts
from inventory.base.changes import Change
from inventory.drawings.tape import COLOURS
from inventory.selectors.contents import spec_choices
from inventory.services.contents import add_link, delete_link
from inventory.services.links import EndDraft, LinkDraft
from web.components.links import link_row
from web.form_page import FormModel
from web.forms import VersionedForm
from web.views.kits.contents import KitFormPage
from web.views.kits.page import address_of, facts_of

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
            ("By its type", specs),
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


class NewLinkPage(KitFormPage[LinkForm]):
    def make_form(self) -> LinkForm:
        kit = facts_of(self.object_id())
        return self.form(LinkForm, self.stamp(), kit=kit)

    def describe(self, form: LinkForm) -> FormModel:
        return self.model(
            form, title="New connection", lead="A connection joins two ports. A port takes one.", button="Connect"
        )

    def work(self, c: Change, form: LinkForm) -> None:
        add_link(c, self.object_id(), draft=form.draft())

    def after(self) -> str:
        return f"{address_of(self.object_id())}#wiring"


class RemoveLinkPage(KitFormPage[VersionedForm]):
    def make_form(self) -> VersionedForm:
        return self.form(VersionedForm, self.stamp())

    def describe(self, form: VersionedForm) -> FormModel:
        kit = facts_of(self.object_id())
        labels = {position.id: position.label for position in kit.positions}
        link = next((link for link in kit.links if link.id == self.kwargs["link_id"]), None)
        if link is None:
            raise Http404(f"{kit.name} has no such connection.")
        row = link_row(link, labels)
        return self.model(
            form,
            title="Unplug",
            lead=f"{row.a} and {row.b} are then not joined. A lead that lies in a place of this kit stays there.",
            button="Unplug",
            grave=True,
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        delete_link(c, self.object_id(), self.kwargs["link_id"])

    def after(self) -> str:
        return f"{address_of(self.object_id())}#wiring"
