"""The people of the company, and their tokens, as people and programs see them."""

from datetime import datetime
from typing import TypedDict

from django.db.models import QuerySet
from knox.models import AuthToken

from inventory.base.models import User


class UserShape(TypedDict):
    """A person. Somebody who left is not active; what they did stays under their name."""

    id: int
    version: int
    username: str
    name: str
    roles: list[str]
    active: bool


class TokenShape(TypedDict):
    """A token of one's own; ``id`` is the beginning of it."""

    id: str
    created_at: datetime
    expires_at: datetime | None


def user_rows() -> QuerySet[User]:
    """Rows of the list of people, for filtering and paging; one further statement reads their roles."""
    return User.objects.prefetch_related("groups")


def show_user(row: User) -> UserShape:
    return {
        "id": row.pk,
        "version": row.version,
        "username": row.username,
        "name": row.first_name,
        "roles": sorted(group.name for group in row.groups.all()),
        "active": row.is_active,
    }


def one_user(user_id: int) -> UserShape | None:
    """Return one person, or None; two statements."""
    row = user_rows().filter(pk=user_id).first()
    return None if row is None else show_user(row)


def own_tokens(user_id: int) -> list[TokenShape]:
    """Return the tokens of one person, oldest first; one statement."""
    rows = AuthToken.objects.filter(user=user_id).order_by("created", "token_key")
    return [{"id": row.token_key, "created_at": row.created, "expires_at": row.expiry} for row in rows]


def people_here() -> list[tuple[int, str]]:
    """Return id and name of everybody who is active, by name; one statement."""
    return list(User.objects.filter(is_active=True).order_by("username").values_list("pk", "username"))


def has_people() -> bool:
    """Tell whether the company has any person; one statement."""
    return User.objects.exists()
