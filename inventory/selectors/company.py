"""The company's own settings as people and programs see them."""

from typing import TypedDict

from inventory.models import Company


class CompanyShape(TypedDict):
    version: int
    name: str
    timezone: str
    rules: str
    currency: str


def show_company() -> CompanyShape:
    """Return the settings; one statement."""
    row = Company.objects.get(pk=1)
    return {
        "version": row.version,
        "name": row.name,
        "timezone": row.timezone,
        "rules": row.rules,
        "currency": row.currency,
    }


def company_timezone() -> str:
    """Return the name of the company's time zone; one statement."""
    name: str = Company.objects.values_list("timezone", flat=True).get(pk=1)
    return name
