"""``/docs/``: how things are worked out, a page for each theme."""

from dataclasses import dataclass

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.safestring import SafeString

from calc.checks import CHECKS, Check
from calc.rig.field_table import FIELDS
from calc.rig.fields import Field
from scheduling.verbs import BOOKING_VERBS, EVENT_VERBS, Verb
from web.documents import Document, documents
from web.page import Page

WITH_CHECKS = "checks"
"""The theme whose page has the table of all checks."""
WITH_FIELDS = "fields"
"""The theme whose page has the table of all fields of a data sheet."""
WITH_VERBS = "verbs"
"""The theme whose page has the tables of the verbs of bookings and events."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DocsModel:
    title: str
    themes: tuple[Document, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DocModel:
    title: str
    body: SafeString
    checks: tuple[Check, ...]
    fields: tuple[Field, ...]
    verbs: tuple[tuple[str, tuple[Verb, ...]], ...]
    """Of what, and its verbs."""


class DocsPage(Page):
    open_to_all = True

    def get(self, request: HttpRequest) -> HttpResponse:
        return self.show(
            "web/pages/docs.html", DocsModel(title="How it is worked out", themes=tuple(documents().values()))
        )


class DocPage(Page):
    open_to_all = True

    def get(self, request: HttpRequest, slug: str) -> HttpResponse:
        document = documents().get(slug)
        if document is None:
            raise Http404("There is no page on that.")
        checks = tuple(CHECKS.values()) if slug == WITH_CHECKS else ()
        fields = tuple(FIELDS.values()) if slug == WITH_FIELDS else ()
        verbs = (("bookings", BOOKING_VERBS), ("events", EVENT_VERBS)) if slug == WITH_VERBS else ()
        page = DocModel(title=document.title, body=document.body, checks=checks, fields=fields, verbs=verbs)
        return self.show("web/pages/doc.html", page)
