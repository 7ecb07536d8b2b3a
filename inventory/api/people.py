"""``/users/``: the people of the company and their roles."""

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.base.api.fields import TextField
from inventory.base.api.lists import ListFilter, YesNoFilter, orderings
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from inventory.base.errors import NotFoundError
from inventory.base.models import User
from inventory.base.roles import ALL_ROLES
from inventory.selectors.people import UserShape, one_user, show_user, user_rows
from inventory.services import people


class UserInput(StrictSerializer):
    username = serializers.RegexField(r"^[\w.@+-]{1,150}$")
    name = TextField(max_length=150, required=False)
    password = TextField(max_length=1000, allow_blank=False)
    roles = serializers.ListField(child=serializers.ChoiceField(choices=ALL_ROLES), max_length=5)
    active = serializers.BooleanField(required=False)


class UserFilter(ListFilter):
    search_over = ("username", "first_name", "last_name")

    active = YesNoFilter(field_name="is_active")


USER_ORDERINGS = orderings("username", "id")


class UserListView(ListView):
    permits = {"GET": "user.read", "POST": "user.edit"}
    filter_class = UserFilter
    orderings = USER_ORDERINGS

    @described_list(UserShape, UserFilter, USER_ORDERINGS)
    def get(self, request: Request) -> Response:
        return self.list(user_rows(), lambda rows: [show_user(row) for row in rows])

    @described(takes=UserInput, gives=UserShape, status=201)
    def post(self, request: Request) -> Response:
        given: Any = dict(UserInput.read(request.data))
        return self.write(
            lambda c: people.add_person(c, fields=given),
            user_shape,
            status=201,
            location=lambda body: f"/api/v1/users/{body['id']}/",
        )


class UserView(ResourceView):
    permits = {"GET": "user.read", "PATCH": "user.edit"}

    @described(gives=UserShape)
    def get(self, request: Request, user_id: int) -> Response:
        return self.read(user_shape(user_id))

    @described(takes=UserInput, gives=UserShape)
    def patch(self, request: Request, user_id: int) -> Response:
        given: Any = dict(UserInput.read(request.data, partial=True))
        return self.write(
            lambda c: people.edit_person(c, user_id, fields=given), user_shape, version=self.version_of(User, user_id)
        )


def user_shape(user_id: int) -> UserShape:
    """Return one person.

    Raises:
        NotFoundError: there is no such person.
    """
    found = one_user(user_id)
    if found is None:
        raise NotFoundError(f"There is no user {user_id}.")
    return found
