"""``/kits/{id}/links/…``: connect two ports, move a connection, unplug one; all connections of a kit as lines."""

from typing import Any

from django import forms
from django.http import Http404

from calc.rig.kit import Kit as KitFacts
from calc.rig.kit import Link
from inventory.base.changes import Change
from inventory.drawings.tape import COLOURS, tape
from inventory.selectors.contents import spec_choices
from inventory.services.contents import add_link, delete_link, edit_link
from inventory.services.links import EndDraft, LinkDraft
from web.components.links import link_row
from web.form_page import FormModel
from web.forms import VersionedForm
from web.views.kits.contents import KitFormPage
from web.views.kits.page import address_of, facts_of

LEAD_KINDS = ("cable", "drum")


def port_choices(kit: KitFacts, moved: Link | None = None) -> list[Any]:
    """Return the ports that are free, by place; those of the connection that is moved count as free."""
    others = [link for link in kit.links if link is not moved]
    taken = {(end.position, end.port) for link in others for end in (link.a, link.b)}
    cables = {link.cable for link in others}
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

    def __init__(self, *args: Any, kit: KitFacts, moved: Link | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ports = port_choices(kit, moved)
        self.fields["a"].choices = self.fields["b"].choices = ports  # type: ignore[attr-defined]
        used = {link.cable for link in kit.links if link is not moved}
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


class MoveLinkPage(KitFormPage[LinkForm]):
    """Picks another end for a connection, or another lead."""

    def begin(self) -> None:
        super().begin()
        self.facts = facts_of(self.object_id())
        self.link = link_in(self.facts, self.kwargs["link_id"])

    def make_form(self) -> LinkForm:
        link = self.link
        ends = {name: f"{end.position}:{end.port}" for name, end in (("a", link.a), ("b", link.b))}
        lead = f"position:{link.cable}" if link.cable is not None else ""
        if link.cable is None and link.cable_spec is not None:
            lead = f"spec:{link.cable_spec.id}"
        standing = {**ends, "lead": lead, "label": link.label, "colour": tape(link.colour).code}
        return self.form(LinkForm, {**self.stamp(), **standing}, kit=self.facts, moved=link)

    def describe(self, form: LinkForm) -> FormModel:
        row = link_row(self.link, {position.id: position.label for position in self.facts.positions})
        lead = f"{row.a} and {row.b} are connected. Pick another end to move it."
        return self.model(form, title="Move a connection", lead=lead, button="Save")

    def work(self, c: Change, form: LinkForm) -> None:
        draft = form.draft()
        fields = {name: getattr(draft, name) for name in ("a", "b", "cable", "cable_spec", "label")}
        if form.cleaned_data["colour"] != tape(self.link.colour).code:
            fields["colour"] = draft.colour
        edit_link(c, self.object_id(), self.link.id, fields=fields)

    def after(self) -> str:
        return f"{address_of(self.object_id())}#wiring"


def link_in(kit: KitFacts, link_id: int) -> Link:
    """Return a connection of a kit.

    Raises:
        Http404: the kit has no such connection.
    """
    for link in kit.links:
        if link.id == link_id:
            return link
    raise Http404(f"{kit.name} has no such connection.")


class RemoveLinkPage(KitFormPage[VersionedForm]):
    def make_form(self) -> VersionedForm:
        return self.form(VersionedForm, self.stamp())

    def describe(self, form: VersionedForm) -> FormModel:
        kit = facts_of(self.object_id())
        labels = {position.id: position.label for position in kit.positions}
        row = link_row(link_in(kit, self.kwargs["link_id"]), labels)
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
