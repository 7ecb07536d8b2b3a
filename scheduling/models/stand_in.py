from django.db import models

from inventory.models import Position, Unit
from scheduling.models.booking import Booking


class StandIn(models.Model):
    """For one booking of a kit, another unit in place of the one that is packed there; the kit stays as it is."""

    booking = models.ForeignKey(Booking, on_delete=models.PROTECT, related_name="stand_ins")
    position = models.ForeignKey(Position, on_delete=models.CASCADE, related_name="+")
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(name="scheduling_standin_one_a_position", fields=["booking", "position"]),
            models.UniqueConstraint(name="scheduling_standin_unit_once_a_booking", fields=["booking", "unit"]),
        ]
