from collections.abc import Iterable

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.functional import cached_property

from inventory.base.roles import OWNER, role_permits


class User(AbstractUser):
    """A person of the company. Roles are Django groups by the names in ``inventory.base.roles``."""

    version = models.PositiveIntegerField(default=1)

    company_timezone: str
    """Name of the company's time zone, read with the person whom a session names."""

    @cached_property
    def roles(self) -> frozenset[str]:
        return self.with_roles(self.groups.values_list("name", flat=True))

    def with_roles(self, named: Iterable[str]) -> frozenset[str]:
        """Return the roles by these names; a superuser, made where the service runs, is an owner as well."""
        return frozenset(named) | (frozenset({OWNER}) if self.is_superuser else frozenset())

    def may(self, verb: str) -> bool:
        """Say whether the table of permits lets this person do ``verb``."""
        return self.is_active and role_permits(self.roles, verb)
