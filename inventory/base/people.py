"""The people of the company: who is there, with which roles, and their passwords."""

from collections.abc import Collection

from django.contrib.auth.hashers import make_password
from django.contrib.auth.models import Group

from inventory.base.changes import Change
from inventory.base.models import User


def add_person(c: Change, *, username: str, roles: Collection[str]) -> User:
    """Add somebody who cannot sign in until a password is set, and give them these roles."""
    user = User.objects.create_user(username=username)
    user.groups.set(Group.objects.filter(name__in=roles))
    c.record("user", user.pk, "add", username, roles=sorted(roles))
    return user


def set_password(c: Change, *, usernames: Collection[str], password: str) -> None:
    """Give all of them this password; the rules for passwords that people choose are applied where they choose them."""
    people = User.objects.filter(username__in=usernames)
    for pk, username in people.values_list("pk", "username"):
        c.record("user", pk, "set-password", username)
    people.update(password=make_password(password))
