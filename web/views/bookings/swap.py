"""``/bookings/{id}/swap/`` and ``…/follow/``: another kit; the times of the show again."""

from django import forms

from inventory.base.changes import Change
from scheduling.selectors.lines import things
from scheduling.services.bookings import follow, swap
from scheduling.services.powers import Powers
from web.components.booked import booked_line
from web.forms import VersionedForm
from web.views.bookings.page import BookingFormPage, BookingModel


class SwapForm(VersionedForm):
    kit = forms.TypedChoiceField(coerce=int, label="Take this kit")
    accept = forms.BooleanField(required=False, label="Keep what can be had; what cannot be had is short")


class SwapPage(BookingFormPage):
    form_class = SwapForm
    verb = "swapped"

    def make_form(self) -> VersionedForm:
        form = super().make_form()
        kits = [each for each in things() if each["kind"] == "kit" and each["id"] != self.found["kit"]]
        choices = [(str(each["id"]), each["name"]) for each in kits]
        form.fields["kit"].choices = choices  # type: ignore[attr-defined]  # of a ChoiceField
        if not self.person().may("booking.accept-shortfalls"):
            del form.fields["accept"]
        return form

    def describe(self, form: VersionedForm) -> BookingModel:
        return self.model(
            form,
            title=f"Another kit instead of {booked_line(self.found, may_change=True).name}",
            lead="It is booked for the same time and in the same state.",
            button="Swap it",
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        given = form.cleaned_data
        accept = given.get("accept", False)
        swap(c, self.object_id(), kit_id=given["kit"], accept_shortfalls=accept, powers=Powers.of(self.person()))


class FollowForm(VersionedForm):
    accept = forms.BooleanField(required=False, label="Keep what can be had; what cannot be had is short")


class FollowPage(BookingFormPage):
    """The booking has the times of its show again, and moves with them."""

    form_class = FollowForm
    verb = "extended"

    def make_form(self) -> VersionedForm:
        form = super().make_form()
        if not self.person().may("booking.accept-shortfalls"):
            del form.fields["accept"]
        return form

    def describe(self, form: VersionedForm) -> BookingModel:
        return self.model(
            form,
            title=f"Move {booked_line(self.found, may_change=True).name} along with the show",
            lead="It has the gear times of its show from now on, and moves whenever they move.",
            button="Move it along",
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        accept = form.cleaned_data.get("accept", False)
        follow(c, self.object_id(), accept_shortfalls=accept, powers=Powers.of(self.person()))
