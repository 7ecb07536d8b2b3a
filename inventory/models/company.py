from django.db import models
from django.db.models import Q

from calc.vocabulary import RULE_SETS
from inventory.base.columns import choices, one_of


class Company(models.Model):
    """The company's own settings: one row."""

    id = models.SmallIntegerField(primary_key=True, default=1)
    name = models.CharField(max_length=200)
    timezone = models.CharField(max_length=60, default="UTC")
    rules = models.CharField(max_length=20, choices=choices(RULE_SETS), default="iec")
    currency = models.CharField(max_length=3, default="EUR")
    """ISO 4217 code of money that names no currency of its own."""
    next_tag = models.PositiveIntegerField(default=1)
    """The number that the next unit without a tag of its own is given."""
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(name="inventory_company_one_row", condition=Q(id=1)),
            one_of("inventory_company_rules_known", "rules", RULE_SETS),
        ]
