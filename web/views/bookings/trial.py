"""Forms that can be tried first: what they would do is done and taken back, and whom it hurts is shown."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse

from inventory.base.changes import DryRun, change
from inventory.base.errors import DomainError
from scheduling.selectors.in_the_way import names_of_events
from web.components.in_the_way import InTheWay
from web.components.spans import moment
from web.form_page import Form, FormModel, FormPage
from web.page import Done


@dataclass(frozen=True, slots=True, kw_only=True)
class Loser:
    """A booking that a change would take something from."""

    event: int
    name: str
    when: str
    words: str
    """``2 could stand in``, ``its pencil is behind then``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialModel(FormModel):
    """A form with what is in its way, and whom it would hurt."""

    way: InTheWay | None = None
    losers: tuple[Loser, ...] | None = None
    """Of a trial; None: nothing was tried."""


class TrialPage(FormPage[Form]):
    """Base of form pages with a second button, which tries the work and takes it back."""

    def describe(self, form: Form) -> TrialModel:
        raise NotImplementedError

    def post(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        if request.POST.get("verb") != "try":
            return super().post(request, **kwargs)
        self.begin()
        form = self.make_form()
        if tried := self._try(form):
            return self.show(self.template, replace(self.describe(form), losers=losers(tried.result)))
        return self.show_again(form)

    def _try(self, form: Form) -> Done[Sequence[dict[str, Any]]] | None:
        """Do the work and take everything back; return its consequences, or None on a refusal."""
        if not form.is_valid():
            return None
        consequences: Sequence[dict[str, Any]] = ()
        try:
            with change(actor_id=self.person().pk, request_id=self.request.META["X_REQUEST_ID"]) as c:
                self.work(c, form)
                c.run_followers()
                consequences = tuple(c.consequences)
                raise DryRun
        except DryRun:
            return Done(consequences)
        except DomainError as error:
            form.refuse(error)
            return None


def losers(consequences: Sequence[dict[str, Any]]) -> tuple[Loser, ...]:
    """Return by name whom a change hurts; one statement."""
    names = names_of_events({each["event"] for each in consequences})
    return tuple(
        Loser(
            event=each["event"],
            name=names.get(each["event"], ""),
            when=moment(datetime.fromisoformat(each["starts_at"])),
            words=_loss(each),
        )
        for each in consequences
    )


def _loss(consequence: dict[str, Any]) -> str:
    if consequence["loses"] == "place":
        return "its pencil is behind then"
    number = len(consequence["alternatives"])
    return f"{number} could stand in" if number else "nothing could stand in"
