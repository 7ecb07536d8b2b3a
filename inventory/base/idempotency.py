"""The same POST twice has one effect: the first answer is kept with it, in one transaction, and given again.

Only committed outcomes are kept: a refusal rolls back and is judged anew the next time.
"""

import hashlib
import re
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from inventory.base.errors import InvalidError, KeyReusedError
from inventory.base.models import IdempotentAnswer

KEPT_FOR = timedelta(days=14)
VISIBLE = re.compile(r"[\x21-\x7e]{1,255}")


@dataclass(frozen=True, slots=True)
class Answer:
    """What a write answers, before it becomes an HTTP response."""

    status: int
    body: object
    headers: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyedRequest:
    """A POST that came with an Idempotency-Key."""

    user_id: int
    method: str
    path: str
    key: str
    body_sha256: str


def keyed_request(*, user_id: int, method: str, path: str, key: str | None, body: bytes) -> KeyedRequest | None:
    """Return the keyed request, or None when no key came.

    Raises:
        InvalidError: the key is not 1 to 255 visible ASCII characters.
    """
    if key is None:
        return None
    if not VISIBLE.fullmatch(key):
        raise InvalidError.of_field("Idempotency-Key", "Send 1 to 255 visible characters without spaces.")
    return KeyedRequest(
        user_id=user_id, method=method, path=path[:500], key=key, body_sha256=hashlib.sha256(body).hexdigest()
    )


def kept_answer(request: KeyedRequest, *, now: datetime) -> Answer | None:
    """Return the first answer to this key, or None. Under the ledger no two requests race for it.

    Raises:
        KeyReusedError: the key came with another body.
    """
    row = IdempotentAnswer.objects.filter(
        user_id=request.user_id,
        method=request.method,
        path=request.path,
        key=request.key,
        created_at__gt=now - KEPT_FOR,
    ).first()
    if row is None:
        return None
    if row.body_sha256 != request.body_sha256:
        raise KeyReusedError("This Idempotency-Key was used here with another body. Send a new key.")
    return Answer(row.status, row.body, row.headers | {"Idempotency-Replayed": "true"})


def keep_answer(request: KeyedRequest, answer: Answer, *, now: datetime) -> None:
    """Keep the answer for fourteen days, and drop what is older."""
    IdempotentAnswer.objects.filter(created_at__lte=now - KEPT_FOR).delete()
    IdempotentAnswer.objects.create(
        user_id=request.user_id,
        method=request.method,
        path=request.path,
        key=request.key,
        body_sha256=request.body_sha256,
        status=answer.status,
        headers=answer.headers,
        body=answer.body,
        created_at=now,
    )
