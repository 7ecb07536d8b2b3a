"""Who is signed in, read with what every page asks about them: their roles, and the clock of their company."""

from django.contrib.auth.backends import ModelBackend
from django.db.models import F, Subquery

from inventory.base.models import User
from inventory.models import Company


class PersonWithRoles(ModelBackend):
    """Signs in by name and password, and reads the person that a session names."""

    def get_user(self, user_id: int) -> User | None:
        """Return the person if they may sign in, with roles and time zone known; one statement."""
        timezone = Subquery(Company.objects.values("timezone")[:1])
        rows = list(User.objects.filter(pk=user_id).annotate(role=F("groups__name"), zone=timezone))
        if not rows or not self.user_can_authenticate(rows[0]):
            return None
        person = rows[0]
        person.company_timezone = person.zone
        person.roles = person.with_roles(row.role for row in rows if row.role is not None)
        return person
