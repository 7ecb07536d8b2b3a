"""Who is signed in, read with their roles: every page asks for both."""

from django.contrib.auth.backends import ModelBackend
from django.db.models import F

from inventory.base.models import User


class PersonWithRoles(ModelBackend):
    """Signs in by name and password, and reads the person that a session names."""

    def get_user(self, user_id: int) -> User | None:
        """Return the person if they may sign in, with their roles known; one statement."""
        rows = list(User.objects.filter(pk=user_id).annotate(role=F("groups__name")))
        if not rows or not self.user_can_authenticate(rows[0]):
            return None
        person = rows[0]
        person.roles = frozenset(row.role for row in rows if row.role is not None)
        return person
