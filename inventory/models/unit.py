from collections.abc import Mapping

from django.conf import settings
from django.db import models
from django.db.models import Q

from calc.vocabulary import PORT_DAMAGE
from inventory.base.columns import at_least, choices, ends_after_start, one_of
from inventory.models.location import Location
from inventory.models.spec import Port, Spec


class UnitState(models.TextChoices):
    """Whether a unit can go out; ``held-back`` follows its downtimes, the others are set by hand."""

    IN_SERVICE = "in-service"
    HELD_BACK = "held-back"
    LOST = "lost"
    RETIRED = "retired"


OUT_OF_POOL = frozenset({UnitState.LOST, UnitState.RETIRED})
"""States of units that nothing can be promised of."""

MOVES_BY_HAND: Mapping[UnitState, tuple[UnitState, ...]] = {
    UnitState.IN_SERVICE: (UnitState.HELD_BACK, UnitState.LOST, UnitState.RETIRED),
    UnitState.HELD_BACK: (UnitState.LOST, UnitState.RETIRED),
    UnitState.LOST: (UnitState.IN_SERVICE, UnitState.RETIRED),
    UnitState.RETIRED: (UnitState.IN_SERVICE,),
}
"""State → the states that pages offer next. From held back into service a unit goes by the bench: by a repair, a
passed test, or the end of its downtime."""


class Unit(models.Model):
    """One physical thing with its own tag."""

    tag = models.CharField(max_length=40)
    serial = models.CharField(max_length=100, null=True)
    spec = models.ForeignKey(Spec, on_delete=models.PROTECT, related_name="units")
    condition = models.CharField(max_length=200, default="", blank=True)
    state = models.CharField(max_length=12, choices=choices(UnitState), default=UnitState.IN_SERVICE)
    location = models.ForeignKey(Location, on_delete=models.PROTECT, null=True, related_name="units")
    signed_to = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    owner = models.CharField(max_length=200, default="", blank=True)
    """Whose it is, when it is not the company's own."""
    available_from = models.DateTimeField(null=True)
    available_until = models.DateTimeField(null=True)
    firmware = models.CharField(max_length=60, null=True)
    measured_w = models.FloatField(null=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="inventory_unit_tag_once", fields=["tag"]),
            models.UniqueConstraint(
                name="inventory_unit_serial_once_a_spec", fields=["spec", "serial"], condition=Q(serial__isnull=False)
            ),
            one_of("inventory_unit_state_known", "state", UnitState.values),
            ends_after_start("inventory_unit_pool_period_in_order", "available_from", "available_until"),
            at_least("inventory_unit_measured_not_negative", "measured_w", 0),
        ]
        indexes = [models.Index(fields=["spec", "state"], name="inventory_unit_of_spec")]

    def __str__(self) -> str:
        return self.tag


class Tag(models.Model):
    """Every tag that a unit ever had: the current one, and the retired ones, which stay aliases for ever."""

    tag = models.CharField(max_length=40, primary_key=True)
    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="tags")


class UnitPort(models.Model):
    """Damage at one port of one unit; no row means sound."""

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="port_conditions")
    port = models.ForeignKey(Port, on_delete=models.PROTECT, related_name="+")
    what = models.CharField(max_length=12, choices=choices(PORT_DAMAGE))
    fault = models.ForeignKey("inventory.Fault", on_delete=models.CASCADE, related_name="port_conditions")

    class Meta:
        constraints = [
            models.UniqueConstraint(name="inventory_unitport_damage_once", fields=["unit", "port", "what", "fault"]),
            one_of("inventory_unitport_damage_known", "what", PORT_DAMAGE),
        ]
