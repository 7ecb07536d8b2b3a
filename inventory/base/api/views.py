"""The one way in: reading with conditional requests, and writing through the door with keys, versions and dry runs."""

import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Any, ClassVar, TypeVar

from django.db.models import Model, QuerySet
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.utils.encoders import JSONEncoder
from rest_framework.views import APIView

from inventory.base.api.lists import ListFilter, Pages, filtered, refuse_unknown_names
from inventory.base.changes import Change, DryRun, change
from inventory.base.errors import InvalidError, NotFoundError, StaleError
from inventory.base.idempotency import Answer, keep_answer, kept_answer, keyed_request
from inventory.base.models import User

Result = TypeVar("Result")


class ResourceView(APIView):
    """Base of every view of the interface."""

    permits: ClassVar[Mapping[str, str]] = {}
    """HTTP method → verb in the table of permits."""

    def user(self) -> User:
        user = self.request.user
        assert isinstance(user, User)  # the permission class has refused everybody else
        return user

    def read(self, body: Mapping[str, Any]) -> Response:
        """Answer a detail, or 304 when the reader has it already."""
        refuse_unknown_names(self.request.query_params, ())
        return self.answer(body)

    def answer(self, body: Mapping[str, Any]) -> Response:
        """Answer with an entity tag, or 304; for a view that has looked at its own query names."""
        tag = entity_tag(body)
        if not {tag, "*"}.isdisjoint(_tags(self.request.headers.get("If-None-Match"))):
            return Response(status=304, headers={"ETag": tag})
        return Response(body, headers={"ETag": tag})

    def write(
        self,
        service: Callable[[Change], Result],
        render: Callable[[Result], Any],
        *,
        status: int = 200,
        location: Callable[[Any], str] | None = None,
        version: Callable[[], int] | None = None,
    ) -> Response:
        """Run a service behind the door and answer with what it made.

        Order: ledger, Idempotency-Key, If-Match, service, followers, render, keep the answer, commit.

        Args:
            service: Does the work, given the open change.
            render: The body, from the service's result, after the followers have run.
            status: The status of success.
            location: The Location header, from the body.
            version: Reads the version that If-Match is compared with, under the lock.
        """
        dry_run = self._dry_run()
        answer = Answer(500, None)
        try:
            with change(actor_id=self.user().pk, request_id=request_id(self.request)) as c:
                answer = self._answer(c, service, render, status, location, version)
                if dry_run:
                    raise DryRun
        except DryRun:
            answer = Answer(200, answer.body)
        return Response(answer.body, status=answer.status, headers=answer.headers)

    def version_of(self, model: type[Model], row_id: int) -> Callable[[], int]:
        """Return how to read the version of a row under the lock; a row that is gone is a 404."""

        def read_version() -> int:
            version: int | None = model._default_manager.filter(pk=row_id).values_list("version", flat=True).first()
            if version is None:
                raise NotFoundError(f"There is no {model._meta.verbose_name} {row_id}.")
            return version

        return read_version

    def _answer(
        self,
        c: Change,
        service: Callable[[Change], Result],
        render: Callable[[Result], Any],
        status: int,
        location: Callable[[Any], str] | None,
        version: Callable[[], int] | None,
    ) -> Answer:
        request = self.request
        keyed = keyed_request(
            user_id=self.user().pk,
            method=str(request.method),
            path=request.get_full_path(),
            key=request.headers.get("Idempotency-Key") if request.method == "POST" else None,
            body=raw_body(request),
        )
        if keyed is not None and (kept := kept_answer(keyed, now=c.now)) is not None:
            return kept
        if version is not None:
            compare_version(request.headers.get("If-Match"), version)
        result = service(c)
        c.run_followers()
        body = render(result)
        headers = {"ETag": entity_tag(body)} if isinstance(body, Mapping) and "version" in body else {}
        if location is not None:
            headers["Location"] = location(body)
        answer = Answer(status, json.loads(json.dumps(body, cls=JSONEncoder)), headers)
        if keyed is not None:
            keep_answer(keyed, answer, now=c.now)
        return answer

    def _dry_run(self) -> bool:
        refuse_unknown_names(self.request.query_params, {"dry_run"})
        value = self.request.query_params.get("dry_run", "false")
        if value not in {"true", "false"}:
            raise InvalidError.of_field("dry_run", "Write dry_run=true, or leave it out.")
        return value == "true"


class ListView(ResourceView):
    """Base of a list page: declare the filters and orderings, give the rows and how one is shown."""

    filter_class: ClassVar[type[ListFilter]] = ListFilter
    orderings: ClassVar[Mapping[str, tuple[str, ...]]]

    def list(self, queryset: QuerySet[Any], render: Callable[[list[Any]], list[Any]]) -> Response:
        """Answer one page; ``render`` shows all its rows at once, so that it can read what they share once."""
        rows = filtered(queryset, self.filter_class, self.request.query_params)
        page, envelope = Pages(self.orderings).cut(rows, self.request, self)
        return Response(envelope | {"results": render(page)})


def request_id(request: Request) -> str:
    """Return the id that the middleware gave this request."""
    return str(request._request.META["X_REQUEST_ID"])  # noqa: SLF001 - DRF wraps Django's request


def raw_body(request: Request) -> bytes:
    """Return the body as it came; the middleware has read it already."""
    body: bytes = request._request.body  # noqa: SLF001 - DRF wraps Django's request
    return body


def entity_tag(body: Mapping[str, Any]) -> str:
    """Return ``"<version>.<derived>"``: what an edit compares, and what else the reader was shown."""
    shown = json.dumps(body, cls=JSONEncoder, sort_keys=True).encode()
    return f'"{body.get("version", 0)}.{hashlib.sha256(shown).hexdigest()[:12]}"'


def compare_version(if_match: str | None, version: Callable[[], int]) -> None:
    """Raise unless ``If-Match`` is absent, ``*``, or names the present version.

    Raises:
        StaleError: the version has moved on; ``version`` in the problem is the present one.
        InvalidError: the header is not an entity tag.
    """
    if if_match is None or if_match.strip() == "*":
        return
    now = version()
    try:
        named = {int(tag.strip('"').split(".")[0]) for tag in _tags(if_match)}
    except ValueError as error:
        raise InvalidError.of_field("If-Match", "Send the ETag as it was given, quotes included.") from error
    if now not in named:
        raise StaleError("It was changed after you read it.", version=now)


def _tags(header: str | None) -> list[str]:
    return [tag.strip().removeprefix("W/") for tag in (header or "").split(",") if tag.strip()]
