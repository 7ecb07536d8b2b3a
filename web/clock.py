"""Times as the clocks of the company show them."""

from zoneinfo import ZoneInfo

from django.utils import timezone

from inventory.selectors.company import company_timezone


def use_company_time() -> None:
    """Show and read times in the company's zone until the page is answered; its base ends it. One statement."""
    timezone.activate(ZoneInfo(company_timezone()))
