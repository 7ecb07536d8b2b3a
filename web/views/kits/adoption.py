"""``/kits/{id}/adopt/``: give a planned change to the kit that it began with; what that does is said first."""

from dataclasses import dataclass

from django.http import Http404

from inventory.base.changes import Change
from inventory.services.adoption import Adoption, adopt_plan
from web.forms import VersionedForm
from web.views.bookings.trial import TrialModel, TrialPage
from web.views.kits.contents import KitFormPage
from web.views.kits.page import address_of


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptModel(TrialModel):
    kit_name: str
    adoption: Adoption | None
    """What it would do; None: nothing was tried yet."""
    compare: str


class AdoptPage(TrialPage[VersionedForm], KitFormPage[VersionedForm]):
    template = "web/pages/kit_adopt.html"
    adoption: Adoption | None = None

    def begin(self) -> None:
        super().begin()
        if self.heading["drafted_from"] is None:
            raise Http404(f"{self.heading['name']} is no planned change of another kit.")
        self.origin = self.heading["drafted_from"]

    def make_form(self) -> VersionedForm:
        return self.form(VersionedForm, self.stamp())

    def describe(self, form: VersionedForm) -> AdoptModel:
        draft = self.object_id()
        return AdoptModel(
            title=f"Adopt {self.heading['name']}",
            button="Adopt it",
            form=form,
            back=address_of(draft),
            back_words=self.heading["name"],
            kit_name=self.origin["name"],
            adoption=self.adoption,
            compare=f"/kits/compare/?a={self.origin['id']}&b={draft}",
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        self.adoption = adopt_plan(c, self.object_id())

    def after(self) -> str:
        return address_of(self.origin["id"])
