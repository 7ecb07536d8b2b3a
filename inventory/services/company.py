"""The company's own settings."""

from typing import TypedDict
from zoneinfo import available_timezones

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Company, Kit
from inventory.services.fetching import row_at


class CompanyFields(TypedDict, total=False):
    name: str
    timezone: str
    rules: str
    currency: str


def edit_company(c: Change, *, fields: CompanyFields) -> int:
    """Change what ``fields`` names; another rule set checks every kit again.

    Raises:
        InvalidError: the time zone is not one of the IANA database.
    """
    company = row_at(Company, 1)
    if fields.get("timezone", company.timezone) not in available_timezones():
        raise InvalidError.of_field("timezone", "Write a name of the IANA time zone database, such as Europe/Zurich.")
    rules_before = company.rules
    for name, value in fields.items():
        setattr(company, name, value)
    company.version += 1
    company.save()
    if company.rules != rules_before:
        c.touch("company", company.pk)
        c.touch("kit", *Kit.objects.values_list("pk", flat=True))
    c.record("company", company.pk, "edit", company.name, fields=sorted(fields))
    return company.pk
