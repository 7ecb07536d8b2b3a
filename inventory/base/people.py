"""Opening the door for people who are there already."""

from collections.abc import Collection

from django.contrib.auth.hashers import make_password
from knox.models import AuthToken

from inventory.base.changes import Change
from inventory.base.models import User


def reset_passwords(c: Change, *, usernames: Collection[str], password: str) -> None:
    """Give all of them this password as the operator wrote it, and take back every token they have.

    The rules for passwords do not apply: they are for those that people choose themselves.
    """
    people = User.objects.filter(username__in=usernames)
    people.update(password=make_password(password))
    AuthToken.objects.filter(user__in=people).delete()
    for pk, username in people.values_list("pk", "username"):
        c.record("user", pk, "reset-password", username)
