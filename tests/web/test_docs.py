"""The pages under ``/docs/`` as a reader gets them."""

import re

import pytest

from calc.checks import CHECKS
from calc.rig.field_table import FIELDS
from scheduling.verbs import BOOKING_VERBS, EVENT_VERBS
from tests.web.reading import words
from web.documents import documents

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("slug", sorted(documents()))
def test_a_page_shows_all_of_its_file(reader, slug: str) -> None:
    document = documents()[slug]
    answer = reader().get(f"/docs/{slug}/")
    page = answer.content.decode()
    assert answer.status_code == 200
    assert document.body in page
    assert f"<h1>{document.title}</h1>" in page
    assert document.summary.endswith((".", "?"))


def test_the_example_of_a_page_is_shown_as_written(reader) -> None:
    page = reader().get("/docs/heat/").content.decode()
    assert "&gt;&gt;&gt; from calc.heat import" in page
    assert "&amp;gt;" not in page


def test_every_check_has_one_row_in_the_table_of_the_checks_page_only(reader) -> None:
    rows = {
        slug: re.findall(r'<tr id="([a-z0-9-]+)">', reader().get(f"/docs/{slug}/").content.decode())
        for slug in documents()
    }
    assert rows.pop("checks") == list(CHECKS)
    assert [slug for slug, found in rows.items() if found] == []


def test_every_field_of_a_data_sheet_is_in_the_table_of_the_fields_page_only(reader) -> None:
    listed = {
        slug: re.findall(
            r'<td data-is="Name in the interface"><code>(.+?)</code>', reader().get(f"/docs/{slug}/").content.decode()
        )
        for slug in documents()
    }
    assert listed.pop("fields") == list(FIELDS)
    assert [slug for slug, found in listed.items() if found] == []


def test_the_verbs_are_those_of_the_table(client) -> None:
    page = words(client.get("/docs/verbs/"))
    for verb in (*BOOKING_VERBS, *EVENT_VERBS):
        assert verb.does in page


def test_a_refusal_in_the_table_has_a_page_of_its_own(client) -> None:
    codes = {code for verb in (*BOOKING_VERBS, *EVENT_VERBS) for code in verb.refused_with}
    assert [code for code in sorted(codes) if client.get(f"/problems/{code}").status_code != 200] == []
