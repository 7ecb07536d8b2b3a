"""``/kits/{id}/findings/{id}/`` and ``/kits/{id}/check/``: live with a finding; ask for a check."""

from dataclasses import dataclass

from django import forms
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse

from inventory.checks.acceptance import accept_finding, verb_to_accept
from inventory.checks.touch import request_check
from web.components.findings import Finding, findings
from web.forms import PageForm
from web.page import Page
from web.views.kits.page import address_of, check_of, heading_of


class AcceptForm(PageForm):
    reason = forms.CharField(
        max_length=2000, label="Why it is fine this time", help_text="Whoever opens the kit reads it."
    )
    until = forms.DateTimeField(
        required=False,
        label="Until",
        help_text="Leave it empty until it changes.",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptModel:
    title: str
    kit: int
    kit_name: str
    finding: Finding
    form: AcceptForm


class AcceptPage(Page):
    permits = {"GET": "finding.answer", "POST": "finding.answer"}
    section = "/kits/"

    def get(self, request: HttpRequest, kit_id: int, finding_id: int) -> HttpResponse:
        return self.show("web/pages/accept.html", self._model(kit_id, finding_id, self.form(AcceptForm)))

    def post(self, request: HttpRequest, kit_id: int, finding_id: int) -> HttpResponse:
        page = self._model(kit_id, finding_id, self.form(AcceptForm))
        given = page.form
        if self.carry_out(
            given,
            lambda c: accept_finding(
                c, finding_id, reason=given.cleaned_data["reason"], until=given.cleaned_data["until"]
            ),
        ):
            return self.go_to(f"{address_of(kit_id)}#f-{finding_id}")
        return self.refused(given, self.show("web/pages/accept.html", page))

    def _model(self, kit_id: int, finding_id: int, form: AcceptForm) -> AcceptModel:
        heading, check = heading_of(kit_id), check_of(kit_id)
        shape = next((shape for shape in check["findings"] if shape["id"] == finding_id), None)
        if shape is None:
            raise Http404("The check has been made anew, and this finding is not among what it found.")
        if not self.person().may(verb_to_accept(shape["code"], shape["inputs"])):
            raise PermissionDenied
        return AcceptModel(
            title="Accept a finding", kit=kit_id, kit_name=heading["name"], finding=findings([shape])[0], form=form
        )


class AskForCheckPage(Page):
    permits = {"POST": "check.request"}
    section = "/kits/"

    def post(self, request: HttpRequest, kit_id: int) -> HttpResponse:
        heading_of(kit_id)
        form = self.form(PageForm)
        if not self.carry_out(form, lambda c: request_check(c, kit_id)):
            assert form.refusal is not None  # an empty form cannot be wrong by itself
            raise form.refusal
        return self.go_to(address_of(kit_id))
