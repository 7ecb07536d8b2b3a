"""The base of every page.

A page is a class with ``permits`` (method → verb in the table of permits), a ``section`` of the row on top, and a
method for each verb of HTTP that it takes. It builds one typed view-model and shows one template with it. What it
writes goes through ``carry_out``: the same door, services and refusals as the interface. A form posts to the address
that shows it, so that a refusal can show it again, and what was typed can come back there after signing in.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Generic, Protocol, TypeVar

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.utils.cache import patch_cache_control
from django.utils.decorators import method_decorator
from django.views import View
from django.views.decorators.gzip import gzip_page

from inventory.base.changes import Change, change
from inventory.base.errors import BusyError, DomainError, NotFoundError, StaleError
from inventory.base.models import User
from web import kept
from web.forms import PageForm
from web.navigation import MORE, PAGES, Entry

TypedForm = TypeVar("TypedForm", bound=PageForm)
Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class Done(Generic[Result]):
    """A service that was carried out, with what it returned."""

    result: Result


class ViewModel(Protocol):
    """What a template is given, as ``page``: a frozen dataclass with at least a title."""

    @property
    def title(self) -> str: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What stands around every page."""

    pages: tuple[Entry, ...]
    more: tuple[Entry, ...]
    section: str
    person: User | None


@method_decorator(gzip_page, name="dispatch")
class Page(View):
    """Base of every page: permits, the frame, writing, refusing."""

    permits: ClassVar[Mapping[str, str]] = {}
    """HTTP method → verb in the table of permits."""
    open_to_all: ClassVar[bool] = False
    section: ClassVar[str] = ""
    """Address of the entry in the row on top that is marked."""

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if not self.open_to_all:
            if not request.user.is_authenticated:
                return kept.ask_to_sign_in(request)
            method = "GET" if request.method in {"HEAD", "OPTIONS"} else str(request.method)
            if method in self.permits and not self.person().may(self.permits[method]):
                raise PermissionDenied
        try:
            response = super().dispatch(request, *args, **kwargs)
        except NotFoundError as error:
            raise Http404(error.detail) from error
        patch_cache_control(response, private=True, no_cache=True)
        return response

    def person(self) -> User:
        """Return who is looking; only for pages that are not open to all."""
        user = self.request.user
        assert isinstance(user, User)  # dispatch has asked everybody else to sign in
        return user

    def actor_id(self) -> int | None:
        """Return whom history names for what this page writes; None where nobody is signed in yet."""
        return self.person().pk

    def show(self, template: str, page: ViewModel, *, status: int = 200) -> HttpResponse:
        """Answer with a whole page."""
        return render(
            self.request, template, {"page": page, "frame": frame_of(self.request, self.section)}, status=status
        )

    def show_part(self, template: str, page: object, *, status: int = 200) -> HttpResponse:
        """Answer with a part of a page, for a script to put into the page that stands."""
        return render(self.request, template, {"page": page}, status=status)

    def wants_part(self) -> bool:
        """Say whether a script asks, for a part of the page that it has already."""
        return bool(self.request.htmx)  # type: ignore[attr-defined]  # set by django-htmx

    def go_to(self, address: str) -> HttpResponse:
        """Answer a form that did its work: read the page there anew."""
        return HttpResponseRedirect(address, status=303)

    def form(self, form_class: type[TypedForm], initial: Mapping[str, Any] | None = None, **options: Any) -> TypedForm:
        """Return the form with what was just sent, or with what was kept while signing in, or with ``initial``."""
        if self.request.method == "POST":
            return form_class(self.request.POST, **options)
        form = form_class(initial=dict(initial or {}), **options)
        if (back := kept.take(self.request)) is not None:
            form.lay_in(back)
            form.was_kept = True
        return form

    def carry_out(
        self, form: PageForm, service: Callable[[Change], Result], *, version: Callable[[], int] | None = None
    ) -> Done[Result] | None:
        """Run a service behind the door and return its result; on a refusal, tell it in the form and return None.

        Args:
            form: What was typed; it has to be valid before the door opens.
            service: Does the work, given the open change.
            version: Reads, under the lock, the version that the form's own is compared with.
        """
        if not form.is_valid():
            return None
        try:
            with change(actor_id=self.actor_id(), request_id=self.request.META["X_REQUEST_ID"]) as c:
                if version is not None and (now := version()) != form.cleaned_data["version"]:
                    raise StaleError(
                        "Somebody changed it while you were typing. Nothing of yours is saved yet.", version=now
                    )
                result = service(c)
        except NotFoundError:
            raise
        except DomainError as error:
            form.refuse(error)
            return None
        return Done(result)

    def refused(self, form: PageForm, response: HttpResponse) -> HttpResponse:
        """Give the answer to a refused form the status, and the wait, of the refusal."""
        response.status_code = form.status
        if isinstance(form.refusal, BusyError):
            response["Retry-After"] = "2"
        return response


def frame_of(request: HttpRequest, section: str = "") -> Frame:
    """Return what stands around a page for whoever is looking."""
    user = getattr(request, "user", None)
    person = user if isinstance(user, User) else None
    return Frame(
        pages=tuple(entry for entry in PAGES if person is not None and person.may(entry.verb)),
        more=tuple(entry for entry in MORE if person is not None and person.may(entry.verb)),
        section=section,
        person=person,
    )
