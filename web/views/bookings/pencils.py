"""``/bookings/{id}/…/``: the queue of pencils: keep one longer, ask for an answer, rank it, loosen."""

from django import forms

from inventory.base.changes import Change, ledger_version
from scheduling.services.bookings import loosen
from scheduling.services.pencils import challenge, keep_pencil, rank
from scheduling.services.powers import Powers
from web.components.booked import booked_line
from web.forms import VersionedForm
from web.instants import InstantField
from web.views.bookings.page import BookingFormPage, BookingModel


class KeepForm(VersionedForm):
    expires_at = InstantField(label="Keep the pencil until")


class KeepPage(BookingFormPage):
    """Another date for a pencil; one that has expired takes its place again, at the end of the line."""

    form_class = KeepForm
    verb = "kept"

    def make_form(self) -> VersionedForm:
        initial = {"version": self.found["version"], "ledger": ledger_version()}
        return self.form(KeepForm, {**initial, "expires_at": self.found["expires_at"]})

    def describe(self, form: VersionedForm) -> BookingModel:
        return self.model(
            form,
            title=f"Keep the pencil for {booked_line(self.found, may_change=True).name}",
            lead="On that date it is gone by itself, unless somebody confirms it before.",
            button="Keep it until then",
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        keep_pencil(c, self.object_id(), expires_at=form.cleaned_data["expires_at"], powers=Powers.of(self.person()))


class ChallengeForm(VersionedForm):
    answer_by = InstantField(label="Answer by")


class ChallengePage(BookingFormPage):
    """Ask whoever is ahead to confirm or let go."""

    form_class = ChallengeForm
    verb = "challenged"

    def describe(self, form: VersionedForm) -> BookingModel:
        return self.model(
            form,
            title=f"Ask for an answer about {booked_line(self.found, may_change=True).name}",
            lead=f"{self.found['booker'] or 'Its holder'} is told. Not confirmed by then, the pencil is gone.",
            button="Ask for an answer",
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        challenge(c, self.object_id(), answer_by=form.cleaned_data["answer_by"], powers=Powers.of(self.person()))


class RankForm(VersionedForm):
    before = forms.TypedChoiceField(coerce=int, label="Put it ahead of")
    reason = forms.CharField(max_length=300, label="Why", help_text="Whoever loses the place is told.")


class RankPage(BookingFormPage):
    """Put a pencil ahead of another one."""

    permits = {"GET": "booking.change-others", "POST": "booking.change-others"}
    form_class = RankForm
    verb = "ranked"

    def make_form(self) -> VersionedForm:
        form = super().make_form()
        ahead = [each for each in self.found["before"] if not each["firm"]]
        choices = [(str(each["booking"]), each["event_name"]) for each in ahead]
        form.fields["before"].choices = choices  # type: ignore[attr-defined]  # of a ChoiceField
        return form

    def describe(self, form: VersionedForm) -> BookingModel:
        return self.model(
            form,
            title=f"Rank the pencil for {booked_line(self.found, may_change=True).name}",
            lead="Who is first in line is who can be told yes. A confirmed booking is ahead of every pencil.",
            button="Put it there",
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        given = form.cleaned_data
        rank(c, self.object_id(), before=given["before"], reason=given["reason"], powers=Powers.of(self.person()))


class LoosenPage(BookingFormPage):
    """A confirmed booking becomes a pencil again."""

    form_class = VersionedForm
    verb = "loosened"

    def describe(self, form: VersionedForm) -> BookingModel:
        return self.model(
            form,
            title=f"Make {booked_line(self.found, may_change=True).name} a pencil again",
            lead="Its units can be promised to others at once; it goes to the end of the line.",
            button="Make it a pencil",
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        loosen(c, self.object_id(), powers=Powers.of(self.person()))
