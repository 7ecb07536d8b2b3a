"""Every type of problem: those of domain errors, and those of the protocol."""

from dataclasses import dataclass

from inventory.base.errors import PROBLEMS


@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemType:
    """One type of problem (RFC 9457); its page is ``/problems/<code>``."""

    code: str
    status: int
    title: str
    advice: str


def _general(*types: tuple[str, int, str, str]) -> dict[str, ProblemType]:
    return {
        code: ProblemType(code=code, status=status, title=title, advice=advice) for code, status, title, advice in types
    }


GENERAL = _general(
    ("unreadable", 400, "The request cannot be read", "Check that the body is JSON in UTF-8, as the reference shows."),
    ("bad-host", 400, "This service does not answer to that name", "Use the address that the owner gave you."),
    (
        "not-signed-in",
        401,
        "Nobody is signed in",
        "Sign in, or send 'Authorization: Token ...' from POST /api/v1/tokens/.",
    ),
    ("not-permitted", 403, "Your role does not permit this", "Ask a planner or the owner."),
    ("csrf", 403, "The page was open for too long", "Load the page again; what was typed is still in its form."),
    ("method-not-allowed", 405, "This address does not take that method", "See 'allowed' for those that it takes."),
    ("not-acceptable", 406, "No answer in that form", "Ask for application/json."),
    ("too-large", 413, "The body is too large", "Send it in several requests."),
    ("not-json", 415, "The body is not JSON", "Send it with 'Content-Type: application/json'."),
    ("too-often", 429, "Too many requests", "Wait as long as Retry-After says."),
    ("defect", 500, "Something is broken here", "Nothing of this request was kept. Tell the owner the request id."),
)
"""Problems that are not domain errors, by code."""


def problem_type(code: str) -> ProblemType:
    """Return the type of that code.

    Raises:
        KeyError: there is none.
    """
    if code in GENERAL:
        return GENERAL[code]
    error = PROBLEMS[code]
    return ProblemType(code=code, status=error.status, title=error.title, advice=error.advice)


def problem_types() -> list[ProblemType]:
    """Return every type, by status and code."""
    found = [problem_type(code) for code in (*GENERAL, *PROBLEMS)]
    return sorted(found, key=lambda kind: (kind.status, kind.code))
