"""Pages speak a technician's words; those of the interface stay in the interface."""

import re

import pytest
from django.http import HttpResponse

from scheduling.models import Event
from tests.web.busy import company
from tests.web.test_statements import PAGES

pytestmark = pytest.mark.django_db

OF_THE_INTERFACE = re.compile(
    r"\b(?:(?i:specs?|positions?|links?|verdicts?|drafts?|revisions?|reckon\w*)|8P8C(?! \(RJ45\)))\b"
)
FOR_BUILDERS = ("/components/", "/docs/", "/problems/", "/account/")
"""Pages that speak of the interface."""


def seen(answer: HttpResponse) -> str:
    """Return what a person reads or is read: words between tags, and labels, without codes."""
    markup = re.sub(r"<(code|style|svg)\b.*?</\1>", " ", answer.content.decode(), flags=re.DOTALL)
    labels = re.findall(r'(?:aria-label|placeholder|title)="([^"]*)"', markup)
    return " ".join([*re.sub(r"<[^>]+>", " ", markup).split(), *labels])


def test_no_page_speaks_the_words_of_the_interface(reader, people) -> None:
    things = company(3, people)
    events = Event.objects.order_by("pk").values_list("pk", flat=True)[:3]
    things["events"] = "&".join(f"event={event}" for event in events)
    somebody = reader("owner")
    said = {
        address: sorted({found[0] for found in OF_THE_INTERFACE.finditer(seen(somebody.get(address.format(**things))))})
        for address in PAGES
        if not address.startswith(FOR_BUILDERS)
    }
    assert {address: found for address, found in said.items() if found} == {}


@pytest.mark.parametrize("role", ["viewer", "crew", "owner"])
def test_pages_for_builders_are_not_in_the_footer(reader, role: str) -> None:
    page = reader(role).get("/kits/").content.decode()
    assert "/components/" not in page
    assert "How it is worked out" in page
