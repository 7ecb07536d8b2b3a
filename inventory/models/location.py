from django.db import models
from django.db.models import F, Q


class Location(models.Model):
    """A shelf, a van, a room; locations form a tree."""

    name = models.CharField(max_length=200)
    parent = models.ForeignKey("self", on_delete=models.PROTECT, null=True, related_name="children")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="inventory_location_not_in_itself", condition=Q(parent__isnull=True) | ~Q(parent=F("id"))
            ),
        ]
