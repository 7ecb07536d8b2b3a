"""Errors of the domain: one class is one problem type (RFC 9457), one page under /problems/ and one line of advice."""

from typing import ClassVar

PROBLEMS: dict[str, type["DomainError"]] = {}


class DomainError(Exception):
    """Something that cannot be done, said so that the reader knows what to do next.

    ``detail`` varies and names the thing; ``title`` never varies; ``members`` are data for programs.
    """

    code: ClassVar[str]
    title: ClassVar[str]
    status: ClassVar[int] = 409
    advice: ClassVar[str]
    """What a person at the loading dock can do about it; shown on the problem's page."""

    def __init_subclass__(cls) -> None:
        super().__init_subclass__()
        if "code" in cls.__dict__:
            if cls.code in PROBLEMS:
                raise TypeError(f"The problem code {cls.code} is taken by {PROBLEMS[cls.code].__name__}.")
            PROBLEMS[cls.code] = cls

    def __init__(self, detail: str, **members: object) -> None:
        super().__init__(detail)
        self.detail = detail
        self.members = members


class InvalidError(DomainError):
    """One or more fields cannot be used. ``errors`` lists all of them."""

    code = "invalid"
    title = "Some of what was sent cannot be used"
    status = 400
    advice = "Look at 'errors': each entry points at one field and says what it accepts. Nothing was changed."

    def __init__(self, detail: str, *, errors: list["FieldProblem"], **members: object) -> None:
        super().__init__(detail, errors=[error.as_json() for error in errors], **members)
        self.fields = errors

    @classmethod
    def of_field(cls, field: str, message: str, code: str = "invalid") -> "InvalidError":
        """Return the error about one field, by dotted path (``positions.0.spec``)."""
        return cls(message, errors=[FieldProblem(field=field, code=code, message=message)])


class FieldProblem:
    """One field that cannot be used."""

    def __init__(self, *, field: str, code: str, message: str) -> None:
        self.field, self.code, self.message = field, code, message

    def as_json(self) -> dict[str, str]:
        """Return the entry of a problem document; ``pointer`` is a JSON Pointer (RFC 6901)."""
        pointer = "#/" + self.field.replace("~", "~0").replace("/", "~1").replace(".", "/") if self.field else "#"
        return {"pointer": pointer, "field": self.field, "code": self.code, "message": self.message}


class NotFoundError(DomainError):
    code = "not-found"
    title = "There is no such thing"
    status = 404
    advice = "It may have been removed, or the address may be mistyped. Look for it by its tag or its name."


class StaleError(DomainError):
    code = "stale"
    title = "Somebody changed it in the meantime"
    status = 412
    advice = "Read it again, look at what changed, and send your edit with the new ETag in If-Match."


class BusyError(DomainError):
    code = "busy"
    title = "Somebody else is writing just now"
    status = 503
    advice = "Nothing was changed. Wait a few seconds and send the same request again."


class HeldByHistoryError(DomainError):
    code = "held-by-history"
    title = "Other records need it"
    advice = "It cannot be deleted, because what is listed refers to it. Retire it instead."


class KeyReusedError(DomainError):
    code = "key-reused"
    title = "This Idempotency-Key came with another body before"
    status = 422
    advice = "A key stands for one request. Use a new key for a new request; repeat a request with its own body."


class AlreadyThereError(DomainError):
    code = "already-there"
    title = "It exists already"
    advice = "Use the one that exists, or choose another name."


class RuleBrokenError(DomainError):
    code = "rule-broken"
    title = "A rule of the database refuses it"
    advice = "Nothing was changed. The sentence in 'detail' names the rule."
