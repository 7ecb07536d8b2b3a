"""People and their roles. A person is never deleted, so that history keeps the names of those who acted."""

from typing import TypedDict

from django.contrib.auth.models import Group
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from knox.models import AuthToken

from inventory.base.changes import Change
from inventory.base.errors import AlreadyThereError, FieldProblem, InvalidError, NotFoundError
from inventory.base.models import User
from inventory.base.roles import ROLES
from inventory.errors import LastOwnerError
from inventory.services.fetching import row_at


class PersonFields(TypedDict, total=False):
    username: str
    name: str
    password: str
    roles: list[str]
    active: bool


def add_person(c: Change, *, fields: PersonFields) -> int:
    """Create a person and return the id.

    Raises:
        AlreadyThereError: the name is taken.
        InvalidError: the password is too weak, or the roles name none or several of the four.
    """
    person = User(username=fields["username"], first_name=fields.get("name", ""), is_active=fields.get("active", True))
    _refuse_taken_name(person)
    _set_password(person, fields["password"])
    person.save()
    _set_roles(person, fields["roles"])
    c.record("user", person.pk, "create", person.username, roles=sorted(fields["roles"]))
    return person.pk


def edit_person(c: Change, user_id: int, *, fields: PersonFields) -> int:
    """Change what ``fields`` names. A new password, or being made inactive, revokes all tokens.

    Raises:
        NotFoundError: there is no such person.
        AlreadyThereError, InvalidError: as for a new one.
        LastOwnerError: no active owner would be left.
    """
    person = row_at(User, user_id)
    person.username = fields.get("username", person.username)
    person.first_name = fields.get("name", person.first_name)
    person.is_active = fields.get("active", person.is_active)
    _refuse_taken_name(person)
    if "password" in fields:
        _set_password(person, fields["password"])
    person.version += 1
    person.save()
    if "roles" in fields:
        _set_roles(person, fields["roles"])
    if "password" in fields or not person.is_active:
        AuthToken.objects.filter(user=person).delete()
    if not User.objects.filter(is_active=True, groups__name="owner").exists():
        raise LastOwnerError("Somebody has to be owner. Make another person owner first.")
    c.record("user", person.pk, "edit", person.username, fields=sorted(fields))
    return person.pk


def change_own_password(c: Change, user_id: int, *, current: str, password: str) -> None:
    """Give oneself another password; every token of one's own is taken back.

    Raises:
        InvalidError: the current password is another one, or the new one is too weak.
    """
    person = row_at(User, user_id)
    if not person.check_password(current):
        raise InvalidError.of_field("current", "That is not your present password.")
    _set_password(person, password)
    person.version += 1
    person.save()
    AuthToken.objects.filter(user=person).delete()
    c.record("user", person.pk, "change-password", person.username)


def issue_token(person: User) -> tuple[AuthToken, str]:
    """Return a new token's row and the token itself, which is told this once.

    An account's own rows stay outside the ledger: signing in does not wait for a writer.
    """
    row, token = AuthToken.objects.create(user=person)
    return row, token


def revoke_token(c: Change, *, user_id: int, token_key: str) -> None:
    """Take back a token of one's own.

    Raises:
        NotFoundError: this person has no such token.
    """
    revoked, _ = AuthToken.objects.filter(user=user_id, token_key=token_key).delete()
    if not revoked:
        raise NotFoundError("You have no such token.")
    c.record("user", user_id, "revoke-token")


def _refuse_taken_name(person: User) -> None:
    if User.objects.filter(username__iexact=person.username).exclude(pk=person.pk).exists():
        raise AlreadyThereError(f"Somebody is called {person.username} already.")


def _set_password(person: User, password: str) -> None:
    try:
        validate_password(password, person)
    except ValidationError as error:
        raise InvalidError(
            "The password cannot be used.",
            errors=[FieldProblem(field="password", code="weak", message=message) for message in error.messages],
        ) from error
    person.set_password(password)


def _set_roles(person: User, roles: list[str]) -> None:
    """Give exactly these roles: one of the four, and electrics on top where it is named."""
    named = [role for role in roles if role in ROLES]
    if len(set(named)) != 1:
        raise InvalidError.of_field("roles", f"Name one of {', '.join(ROLES)}; electrics comes on top of it.")
    person.groups.set(Group.objects.filter(name__in=roles))
