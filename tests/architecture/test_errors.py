"""One class is one type of problem: its code, its title, its status, and what to do about it."""

import re
from http import HTTPStatus

from inventory.base.errors import PROBLEMS, DomainError
from inventory.base.problems import GENERAL
from tests.architecture.source import modules

STATED = {400, 403, 404, 409, 412, 422, 503}
"""The statuses that the reference states for what a rule refuses."""


def concrete(base=DomainError):
    for error in base.__subclasses__():
        yield error
        yield from concrete(error)


def test_every_error_of_the_domain_has_a_code_of_its_own():
    assert {error.code: error for error in concrete()} == PROBLEMS
    assert len(list(concrete())) == len(PROBLEMS)
    assert PROBLEMS.keys() & GENERAL.keys() == set()


def test_codes_titles_and_advice_are_what_pages_and_programs_expect():
    for error in PROBLEMS.values():
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", error.code)
        assert re.fullmatch(r"[A-Z].*[^.]", error.title), error.title
        assert re.fullmatch(r"['A-Z].*\.", error.advice, re.DOTALL), error.advice
        assert error.status in STATED, error
        assert error.__name__.endswith("Error")


def test_types_that_belong_to_the_protocol_are_complete():
    for code, kind in GENERAL.items():
        assert kind.code == code
        assert HTTPStatus(kind.status) >= 400
        assert kind.title
        assert kind.advice.endswith(".")


def test_every_module_of_errors_is_loaded():
    """A type is known by its class being there; one whose module nobody imports would have no page."""
    defined = {
        code
        for module in modules("inventory", "scheduling")
        for code in re.findall(r'^    code = "(.+)"$', module.text, re.MULTILINE)
    }
    assert defined <= set(PROBLEMS)
