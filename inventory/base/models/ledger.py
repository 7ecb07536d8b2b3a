from django.db import models
from django.db.models import Q


class Ledger(models.Model):
    """One row whose version every writing transaction raises first, so that there is one writer at a time."""

    id = models.SmallIntegerField(primary_key=True, default=1)
    version = models.BigIntegerField(default=0)

    class Meta:
        constraints = [models.CheckConstraint(name="base_ledger_one_row", condition=Q(id=1))]
