"""A page that is one form: it shows it, carries it out, and shows it again, with what was typed, when it is refused."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, ClassVar, Generic, TypeVar

from django.http import HttpRequest, HttpResponse

from inventory.base.changes import Change, ledger_version
from inventory.base.errors import StaleError
from inventory.base.history import history_rows, show_history
from web.components.history import HistoryLine, history_lines
from web.forms import PageForm, VersionedForm
from web.page import Page

MOST_LINES = 20

Form = TypeVar("Form", bound=PageForm)


@dataclass(frozen=True, slots=True, kw_only=True)
class FormModel:
    """A form on a page of its own."""

    title: str
    lead: str = ""
    """What it is about, or what it will do."""
    button: str
    grave: bool = False
    form: PageForm
    back: str
    """Address of the page that it belongs to."""
    back_words: str
    since: tuple[HistoryLine, ...] = ()
    """What others changed after the form was shown."""


class FormPage(Page, Generic[Form]):
    """Base of pages that are one form. What is written, and where it leads, the page itself says.

    A page over something that stands reads it in ``begin``, and says by ``noun`` and ``version`` what its form was
    made from; a page that makes something new leaves these out.
    """

    template: ClassVar[str] = "web/pages/form.html"
    noun: ClassVar[str] = ""
    """Of the history that tells what others changed meanwhile."""

    def begin(self) -> None:
        """Read what the form is about.

        Raises:
            Http404: it is not there.
        """

    def make_form(self) -> Form:
        """Return the form as ``self.form`` makes it."""
        raise NotImplementedError

    def describe(self, form: Form) -> FormModel:
        """Return the page around the form."""
        raise NotImplementedError

    def work(self, c: Change, form: Form) -> None:
        """Call the service."""
        raise NotImplementedError

    def after(self) -> str:
        """Return the address to read when the work is done."""
        raise NotImplementedError

    def version(self) -> Callable[[], int] | None:
        """Return how to read the version of what stands, under the lock."""
        return None

    def object_id(self) -> int:
        """Return the row whose history tells what others changed."""
        raise NotImplementedError

    def get(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        self.begin()
        return self.show(self.template, self.describe(self.make_form()))

    def post(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        self.begin()
        form = self.make_form()
        if self.carry_out(form, lambda c: self.work(c, form), version=self.version()):
            return self.go_to(self.after())
        return self.show_again(form)

    def show_again(self, form: Form) -> HttpResponse:
        """Answer a refused form; after an edit of somebody else's, with what it changed."""
        page = self.describe(form)
        if isinstance(form.refusal, StaleError) and isinstance(form, VersionedForm):
            page = replace(page, since=changes_since(self.noun, self.object_id(), form.cleaned_data["ledger"]))
            form.renewed(version=form.refusal.members["version"], ledger=ledger_version())
        return self.refused(form, self.show(self.template, page))


def changes_since(noun: str, object_id: int, ledger: int) -> tuple[HistoryLine, ...]:
    """Return what others did to a thing after a form about it was made, newest first."""
    rows = history_rows().filter(noun=noun, object_id=object_id, version__gt=ledger)[:MOST_LINES]
    return history_lines(show_history(list(rows)))
