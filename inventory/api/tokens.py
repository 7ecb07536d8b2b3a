"""``/tokens/``: signing in programs; and ``/me/``."""

import math
from datetime import datetime
from typing import Any, TypedDict

from django.contrib.auth import authenticate
from rest_framework import exceptions
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.base.api.fields import TextField
from inventory.base.api.permissions import RolePermission
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ResourceView
from inventory.base.models import User
from inventory.base.rates import seconds_to_wait_for_login
from inventory.base.roles import PERMITS
from inventory.selectors.people import TokenShape, own_tokens
from inventory.services.people import issue_token, revoke_token


class TokenInput(StrictSerializer):
    username = TextField(max_length=150, allow_blank=False)
    password = TextField(max_length=1000, allow_blank=False)


class NewTokenShape(TypedDict):
    """A new token; shown this once and kept as a hash."""

    token: str
    expires_at: datetime | None


class OpenToAll(RolePermission):
    """Anybody may ask for a token; the rest follows the table."""

    def has_permission(self, request: Request, view: Any) -> bool:
        return request.method == "POST" or super().has_permission(request, view)


class TokenListView(ResourceView):
    permits = {"GET": "token.own", "POST": "token.own"}
    permission_classes = (OpenToAll,)

    @described_list(TokenShape)
    def get(self, request: Request) -> Response:
        return self.read({"next": None, "previous": None, "results": own_tokens(self.user().pk)})

    @described(takes=TokenInput, gives=NewTokenShape, status=201, keyed=False)
    def post(self, request: Request) -> Response:
        given = TokenInput.read(request.data)
        wait = seconds_to_wait_for_login(given["username"], request.META.get("REMOTE_ADDR", ""))
        if wait:
            raise exceptions.Throttled(wait=math.ceil(wait))
        user = authenticate(request, username=given["username"], password=given["password"])
        if not isinstance(user, User):
            raise exceptions.AuthenticationFailed("The name or the password is not right.")
        row, token = issue_token(user)
        return Response(
            {"token": token, "expires_at": row.expiry},
            status=201,
            headers={"Location": f"/api/v1/tokens/{row.token_key}/"},
        )


class TokenView(ResourceView):
    permits = {"DELETE": "token.own"}

    @described(status=204)
    def delete(self, request: Request, token_key: str) -> Response:
        return self.write(
            lambda c: revoke_token(c, user_id=self.user().pk, token_key=token_key), lambda _: None, status=204
        )


class MeShape(TypedDict):
    """Who is asking, and what the roles permit."""

    id: int
    username: str
    name: str
    roles: list[str]
    permits: list[str]


class MeView(ResourceView):
    permits = {"GET": "token.own"}

    @described(gives=MeShape)
    def get(self, request: Request) -> Response:
        user = self.user()
        return self.read(
            {
                "id": user.pk,
                "username": user.username,
                "name": user.get_full_name(),
                "roles": sorted(user.roles),
                "permits": [verb for verb in sorted(PERMITS) if user.may(verb)],
            }
        )
