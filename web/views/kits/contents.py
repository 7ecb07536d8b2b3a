"""``/kits/{id}/positions/…``: pack a unit, swap it, take it out; plan a position, remove one."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse

from calc.rig.kit import Kit as KitFacts
from calc.rig.kit import Position
from calc.vocabulary import POSITION_ROLES
from inventory.base.changes import Change, ledger_version
from inventory.base.errors import InvalidError, StaleError
from inventory.selectors.contents import LooseShape, loose_units, spec_choices, unit_with_tag
from inventory.services.contents import add_position, delete_position, edit_position
from inventory.services.positions import PositionDraft
from web.components.contents import ContentsRow
from web.components.history import HistoryLine
from web.components.tags import TagModel, tag_model
from web.form_page import Form, FormModel, FormPage, changes_since
from web.forms import VersionedForm
from web.page import Page
from web.views.kits.page import (
    ContentsPart,
    EditedPart,
    address_of,
    check_of,
    checked_kit,
    contents_part,
    heading_of,
    lid_of,
    read_kit,
)

OFFERED = 6
"""How many loose units are offered as a button each."""


class PackForm(VersionedForm):
    """One form with several buttons: the button says which unit, or what else is to be done."""

    unit = forms.CharField(max_length=40, required=False, widget=forms.HiddenInput)
    tag = forms.CharField(max_length=40, required=False, label="Another, by its tag")
    verb = forms.ChoiceField(choices=[(verb, verb) for verb in ("pack", "take-out", "remove")], required=False)

    def field_of(self, path: str) -> str | None:
        return "tag" if path in {"unit", "tag"} else super().field_of(path)


@dataclass(frozen=True, slots=True, kw_only=True)
class PackModel:
    """One position, open for a change."""

    title: str
    kit: int
    kit_name: str
    address: str
    """Of this form."""
    id: int
    label: str
    role: str
    spec: str
    tag: TagModel | None
    offered: tuple[LooseShape, ...]
    form: PackForm
    since: tuple[HistoryLine, ...]
    """What others changed after this form was shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowPart:
    """A row of the contents, put back as it was."""

    row: ContentsRow | None
    """None: somebody removed the position meanwhile."""
    part: ContentsPart


class PackPage(Page):
    permits = {"GET": "kit.edit", "POST": "kit.edit"}
    section = "/kits/"

    def get(self, request: HttpRequest, kit_id: int, position_id: int) -> HttpResponse:
        ledger = ledger_version()
        heading, kit = read_kit(kit_id)
        if self.wants_part() and "leave" in request.GET:
            part = contents_part(kit, check_of(kit_id), self.person())
            row = next((row for row in part.contents.rows if row.id == position_id), None)
            return self.show_part("web/parts/row.html", RowPart(row=row, part=part))
        form = self.form(PackForm, {"version": heading["version"], "ledger": ledger})
        return self._show(self._model(kit, position_in(kit, position_id), form))

    def post(self, request: HttpRequest, kit_id: int, position_id: int) -> HttpResponse:
        form = self.form(PackForm)
        if self.carry_out(form, self._service(form, kit_id, position_id), version=version_of(kit_id)):
            return after_edit(self, kit_id, position_id)
        ledger = ledger_version()
        heading, kit = read_kit(kit_id)
        page = self._model(kit, position_in(kit, position_id), form)
        if isinstance(form.refusal, StaleError):
            page = replace(page, since=changes_since("kit", kit_id, form.cleaned_data["ledger"]))
            form.renewed(version=heading["version"], ledger=ledger)
        response = self._show(page)
        response["HX-Reswap"] = "outerHTML"
        return self.refused(form, response)

    def _service(self, form: PackForm, kit_id: int, position_id: int) -> Callable[[Change], object]:
        def work(c: Change) -> None:
            verb = form.cleaned_data["verb"] or "pack"
            if verb == "remove":
                delete_position(c, kit_id, position_id)
            elif verb == "take-out":
                edit_position(c, kit_id, position_id, fields={"unit": None})
            else:
                unit = unit_named(form.cleaned_data["tag"] or form.cleaned_data["unit"])
                edit_position(c, kit_id, position_id, fields={"unit": unit})

        return work

    def _model(self, kit: KitFacts, position: Position, form: PackForm) -> PackModel:
        wanted = {position.spec.id, *position.accepts}
        return PackModel(
            title=f"{position.label} of {kit.name}",
            kit=kit.id,
            kit_name=kit.name,
            address=f"{address_of(kit.id)}positions/{position.id}/",
            id=position.id,
            label=position.label,
            role=position.role,
            spec=position.spec.name,
            tag=tag_model(position.unit.tag) if position.unit is not None else None,
            offered=tuple(loose_units(wanted, most=OFFERED)),
            form=form,
            since=(),
        )

    def _show(self, page: PackModel) -> HttpResponse:
        if self.wants_part():
            return self.show_part("web/parts/pack.html", page)
        return self.show("web/pages/pack.html", page)


class PositionForm(VersionedForm):
    label = forms.CharField(max_length=60, label="Label", help_text="What the place is called: switch A, panel 4.")
    spec = forms.TypedChoiceField(coerce=int, label="Type")
    role = forms.ChoiceField(
        choices=[(role, role) for role in POSITION_ROLES if role != "case"], label="Role", initial="required"
    )
    unit = forms.CharField(
        max_length=40, required=False, label="Tag of the unit", help_text="Leave it empty to pack it later."
    )

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        by_kind: dict[str, list[tuple[int, str]]] = {}
        for spec in spec_choices():
            by_kind.setdefault(spec["kind"], []).append((spec["id"], spec["name"]))
        self.fields["spec"].choices = [("", "choose"), *by_kind.items()]  # type: ignore[attr-defined]

    def draft(self) -> PositionDraft:
        """Return what the service takes.

        Raises:
            InvalidError: no unit has the tag.
        """
        given = self.cleaned_data
        return PositionDraft(
            label=given["label"],
            role=given["role"],
            spec=given["spec"],
            unit=unit_named(given["unit"], "unit") if given["unit"] else None,
        )


class KitFormPage(FormPage[Form]):
    """Base of the pages that are one form about a kit."""

    permits = {"GET": "kit.edit", "POST": "kit.edit"}
    section = "/kits/"
    noun = "kit"

    def object_id(self) -> int:
        return int(self.kwargs["kit_id"])

    def version(self) -> Callable[[], int]:
        return version_of(self.object_id())

    def begin(self) -> None:
        self.ledger = ledger_version()
        self.heading = heading_of(self.object_id())

    def stamp(self) -> dict[str, int]:
        """Return what a form remembers of the kit that it was made from."""
        return {"version": self.heading["version"], "ledger": self.ledger}

    def model(self, form: Form, *, title: str, lead: str, button: str, grave: bool = False) -> FormModel:
        """Return the page around the form, which leads back to the kit."""
        return FormModel(
            title=title,
            lead=lead,
            button=button,
            grave=grave,
            form=form,
            back=address_of(self.object_id()),
            back_words=self.heading["name"],
        )


class NewPositionPage(KitFormPage[PositionForm]):
    def make_form(self) -> PositionForm:
        return self.form(PositionForm, {**self.stamp(), "role": "required"})

    def describe(self, form: PositionForm) -> FormModel:
        return self.model(
            form,
            title="New place",
            lead="A place in the plan is for one unit of a type. What is in it now is another matter.",
            button="Add the place",
        )

    def post(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        self.begin()
        form = self.make_form()
        kit_id = self.object_id()
        if done := self.carry_out(form, lambda c: add_position(c, kit_id, draft=form.draft()), version=self.version()):
            return self.go_to(f"{address_of(kit_id)}#p{done.result}")
        return self.show_again(form)


def after_edit(page: Page, kit_id: int, position_id: int) -> HttpResponse:
    """Answer an edit of a position: the parts that it changed for a script, else the page anew."""
    if not page.wants_part():
        return page.go_to(f"{address_of(kit_id)}#p{position_id}")
    _, kit = read_kit(kit_id)
    checked = checked_kit(kit)
    part = contents_part(kit, checked.check, page.person())
    edited = EditedPart(
        lid=lid_of(page, checked, drawn=checked.is_drawn, swap=True),
        part=part,
        rows=tuple(row for row in part.contents.rows if row.id == position_id),
    )
    response = page.show_part("web/parts/edited.html", edited)
    if not edited.rows:
        response["HX-Reswap"] = "delete"
    return response


def version_of(kit_id: int) -> Callable[[], int]:
    """Return how to read the version of a kit under the lock."""
    return lambda: int(heading_of(kit_id)["version"])


def position_in(kit: KitFacts, position_id: int) -> Position:
    """Return a position of a kit.

    Raises:
        Http404: the kit has no such position.
    """
    for position in kit.positions:
        if position.id == position_id:
            return position
    raise Http404(f"{kit.name} has no such place.")


def unit_named(tag: str, field: str = "tag") -> int:
    """Return the unit of a tag.

    Raises:
        InvalidError: no unit has it.
    """
    if not tag.strip():
        raise InvalidError.of_field(field, "Name a unit: type its tag, or press one that is offered.")
    unit = unit_with_tag(tag)
    if unit is None:
        raise InvalidError.of_field(field, f"No unit has the tag {tag.strip()}.")
    return unit
