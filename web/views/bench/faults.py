"""``/faults/{id}/``: what broke, whom it hurts, what could stand in; and whether the unit may go out with it."""

from collections.abc import Callable
from dataclasses import dataclass

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from inventory.base.changes import Change, ledger_version
from inventory.base.errors import InvalidError
from inventory.models.unit import UnitState
from inventory.selectors.bench import FaultRecordShape, fault_record
from inventory.selectors.rewiring import MoveShape, moves_from
from inventory.services.faults import judge_fault
from inventory.services.rewiring import move_off_fault
from scheduling.selectors.promises import shortfalls_caused_by
from web.components.faults import FaultLine, fault_lines
from web.components.promises import LackLine, hurt_lines
from web.components.tags import TagModel, tag_model
from web.form_page import FormModel, FormPage
from web.forms import PageForm, VersionedForm
from web.page import Page


class JudgementForm(VersionedForm):
    usable = forms.ChoiceField(choices=[("yes", "yes"), ("no", "no")], widget=forms.HiddenInput)
    reason = forms.CharField(
        max_length=2000,
        required=False,
        label="Why it may go out",
        help_text="Needed for a shell or contacts of mains or a battery; a person with the role electrics gives it.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultModel(FormModel):
    form: JudgementForm
    fault: FaultLine
    unit: int
    tag: TagModel
    hurt: tuple[LackLine, ...]
    held_back: bool
    may_judge: bool
    may_mend: bool
    may_stand_in: bool
    moves: tuple[MoveShape, ...]
    """Where what is connected to the broken port could go."""
    port: str
    may_move: bool


class FaultPage(FormPage[JudgementForm]):
    permits = {"GET": "fault.read", "POST": "fault.judge"}
    section = "/bench/"
    template = "web/pages/fault.html"
    noun = "fault"

    def begin(self) -> None:
        self.fault = self._read()

    def object_id(self) -> int:
        return int(self.kwargs["fault_id"])

    def version(self) -> Callable[[], int]:
        return lambda: self._read()["version"]

    def _read(self) -> FaultRecordShape:
        fault = fault_record(self.object_id(), money=self.person().may("money.read"))
        if fault is None:
            raise Http404(f"There is no fault {self.object_id()}.")
        return fault

    def make_form(self) -> JudgementForm:
        return self.form(JudgementForm, {"version": self.fault["version"], "ledger": self._ledger()})

    def _ledger(self) -> int:
        return ledger_version() if self.person().may("fault.judge") else 0

    def describe(self, form: JudgementForm) -> FaultModel:
        fault = self.fault
        person = self.person()
        is_open = fault["closed_at"] is None
        moves = moves_from(fault["unit"], fault["port"]) if is_open and fault["port"] else []
        hurt = shortfalls_caused_by(fault["unit"], fault["at"], timezone.now()) if is_open else []
        line = fault_lines([fault])[0]
        return FaultModel(
            title=f"{fault['tag']}: {line.what}",
            button="",
            form=form,
            back=f"/units/{fault['unit']}/",
            back_words=fault["tag"],
            fault=line,
            unit=fault["unit"],
            tag=tag_model(fault["tag"]),
            hurt=hurt_lines(hurt),
            held_back=fault["unit_state"] == UnitState.HELD_BACK,
            may_judge=is_open and person.may("fault.judge"),
            may_mend=is_open and person.may("repair.record"),
            may_stand_in=person.may("booking.change-others"),
            moves=tuple(moves),
            port=fault["port"] or "",
            may_move=person.may("kit.edit"),
        )

    def work(self, c: Change, form: JudgementForm) -> None:
        given = form.cleaned_data
        judge_fault(
            c,
            self.object_id(),
            usable=given["usable"] == "yes",
            note=given["reason"] or None,
            electrics=self.person().may("finding.accept-mains"),
        )

    def after(self) -> str:
        return f"/faults/{self.object_id()}/"


class MoveForm(PageForm):
    position = forms.IntegerField(min_value=1, max_value=2**63 - 1, widget=forms.HiddenInput)
    to = forms.CharField(max_length=60, strip=False, widget=forms.HiddenInput)


class MovePage(Page):
    """Moves a connection off the broken port; asked from the page of the fault."""

    permits = {"POST": "kit.edit"}
    section = "/bench/"

    def post(self, request: HttpRequest, fault_id: int) -> HttpResponse:
        form = self.form(MoveForm)
        given = form.cleaned_data if form.is_valid() else {}
        if not given or not self.carry_out(
            form, lambda c: move_off_fault(c, fault_id, position_id=given["position"], port=given["to"])
        ):
            raise form.refusal or InvalidError.of_field("to", "Press a port that the page of the fault offers.")
        return self.go_to(f"/faults/{fault_id}/")
