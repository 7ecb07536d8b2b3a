"""``/kits/{id}/check/``, ``/checks/``, ``/capability/`` and ``/findings/{id}/accept/``."""

from typing import Any, TypedDict

from rest_framework.request import Request
from rest_framework.response import Response

from inventory.base.api.fields import InstantField, TextField
from inventory.base.api.lists import ListFilter
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from inventory.base.errors import NotFoundError
from inventory.base.models.checked import CheckState
from inventory.checks.acceptance import accept_finding
from inventory.checks.touch import request_check
from inventory.selectors.capability import CapabilityShape, show_capability
from inventory.selectors.checks import (
    CheckRowShape,
    CheckShape,
    FindingShape,
    accepted_finding,
    check_rows,
    show_check,
    show_check_rows,
)
from inventory.selectors.kits import kit_rows
from inventory.selectors.measuring import MissingNumberShape, numbers_worth_measuring


class CheckView(ResourceView):
    permits = {"GET": "kit.read", "POST": "check.request"}

    @described(gives=CheckShape)
    def get(self, request: Request, kit_id: int) -> Response:
        body = check_shape(kit_id)
        response = self.read(body)
        if body["state"] not in CheckState.values:  # still to be done
            response["Retry-After"] = "1"
        return response

    @described(gives=CheckShape, status=202)
    def post(self, request: Request, kit_id: int) -> Response:
        check_shape(kit_id)
        return self.write(
            lambda c: request_check(c, kit_id),
            lambda _: check_shape(kit_id),
            status=202,
            location=lambda body: f"/api/v1/kits/{kit_id}/check/",
        )


CHECK_ORDERINGS = {"-id": ("-id",), "id": ("id",)}


class CheckListView(ListView):
    permits = {"GET": "kit.read"}
    orderings = CHECK_ORDERINGS

    @described_list(CheckRowShape, ListFilter, CHECK_ORDERINGS)
    def get(self, request: Request, kit_id: int) -> Response:
        refuse_unknown_kit(kit_id)
        return self.list(check_rows(kit_id), show_check_rows)


class CapabilityView(ResourceView):
    permits = {"GET": "kit.read"}

    @described(gives=CapabilityShape)
    def get(self, request: Request, kit_id: int) -> Response:
        shown = show_capability(kit_id)
        if shown is None:
            raise NotFoundError(f"There is no kit {kit_id}.")
        return self.read(shown)


class MissingNumbersShape(TypedDict):
    """Numbers that nobody typed, that first which would settle most kits."""

    next: str | None
    previous: str | None
    results: list[MissingNumberShape]


class MeasuringView(ResourceView):
    permits = {"GET": "kit.read"}

    @described(gives=MissingNumbersShape)
    def get(self, request: Request) -> Response:
        return self.read({"next": None, "previous": None, "results": numbers_worth_measuring()})


class AcceptInput(StrictSerializer):
    reason = TextField(max_length=2000, allow_blank=False)
    until = InstantField(allow_null=True, required=False)


class AcceptView(ResourceView):
    permits = {"POST": "finding.answer"}

    @described(takes=AcceptInput, gives=FindingShape)
    def post(self, request: Request, finding_id: int) -> Response:
        given: Any = AcceptInput.read(request.data)
        return self.write(
            lambda c: accept_finding(c, finding_id, reason=given["reason"], until=given.get("until")),
            accepted_finding,
        )


def check_shape(kit_id: int) -> CheckShape:
    """Return the check of a kit.

    Raises:
        NotFoundError: there is no such kit.
    """
    shown = show_check(kit_id)
    if shown is None:
        raise NotFoundError(f"There is no kit {kit_id}.")
    return shown


def refuse_unknown_kit(kit_id: int) -> None:
    """Raise unless the kit exists.

    Raises:
        NotFoundError: it does not.
    """
    if not kit_rows().filter(pk=kit_id).exists():
        raise NotFoundError(f"There is no kit {kit_id}.")
