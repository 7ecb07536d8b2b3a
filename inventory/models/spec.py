from django.db import models
from django.db.models import Q

from calc.vocabulary import BREAKER_CURVES, CARRIES, FACES, OUTLET_LEGS, POE_ROLES, POWER_ROLES, SIDES, SPEC_KINDS
from inventory.base.columns import at_least, choices, one_of


class Spec(models.Model):
    """The data sheet of one make and model. Unknown numbers are NULL, never zero."""

    name = models.CharField(max_length=200)
    kind = models.CharField(max_length=20, choices=choices(SPEC_KINDS))
    maker = models.CharField(max_length=200, default="", blank=True)
    part_number = models.CharField(max_length=200, default="", blank=True)
    weight_kg = models.FloatField(null=True)
    width_mm = models.FloatField(null=True)
    depth_mm = models.FloatField(null=True)
    height_mm = models.FloatField(null=True)
    rack_units = models.FloatField(null=True)
    replacement_cost = models.DecimalField(max_digits=12, decimal_places=2, null=True)
    currency = models.CharField(max_length=3, default="EUR")
    country_of_origin = models.CharField(max_length=2, default="", blank=True)
    """ISO 3166-1 code."""
    inspection_interval_days = models.PositiveIntegerField(null=True)
    prep_minutes = models.PositiveIntegerField(null=True)
    turnaround_minutes = models.PositiveIntegerField(null=True)
    provenance = models.JSONField(default=dict)
    """Dotted path of a number → where it came from; a number that is not named came from the data sheet."""
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("inventory_spec_kind_known", "kind", SPEC_KINDS),
            at_least("inventory_spec_weight_not_negative", "weight_kg", 0),
            at_least("inventory_spec_cost_not_negative", "replacement_cost", 0),
        ]

    def __str__(self) -> str:
        return self.name


class Port(models.Model):
    """One connector of a spec."""

    spec = models.ForeignKey(Spec, on_delete=models.CASCADE, related_name="ports")
    name = models.CharField(max_length=60)
    sort = models.PositiveIntegerField(default=0)
    connector = models.CharField(max_length=40)
    """Code in the connector register."""
    side = models.CharField(max_length=10, choices=choices(SIDES))
    carries = models.CharField(max_length=20, choices=choices(CARRIES))
    face = models.CharField(max_length=10, choices=choices(FACES), default="inside")
    through = models.CharField(max_length=60, null=True)
    group = models.CharField(max_length=60, null=True)
    speed_mbps = models.FloatField(null=True)
    pairs = models.PositiveSmallIntegerField(null=True)
    pinout = models.CharField(max_length=60, null=True)
    poe_role = models.CharField(max_length=10, choices=choices(POE_ROLES), null=True)
    poe_class = models.PositiveSmallIntegerField(null=True)
    poe_reduced_class_ok = models.PositiveSmallIntegerField(null=True)
    power_role = models.CharField(max_length=10, choices=choices(POWER_ROLES), null=True)
    power_volts_min = models.FloatField(null=True)
    power_volts_max = models.FloatField(null=True)
    power_watts = models.FloatField(null=True)
    power_breaker_a = models.FloatField(null=True)
    power_curve = models.CharField(max_length=2, choices=choices(BREAKER_CURVES), null=True)
    power_rcd_ma = models.FloatField(null=True)
    power_leg = models.CharField(max_length=5, choices=choices(OUTLET_LEGS), null=True)

    class Meta:
        ordering = ["sort", "id"]
        constraints = [
            models.UniqueConstraint(name="inventory_port_name_once_a_spec", fields=["spec", "name"]),
            one_of("inventory_port_side_known", "side", SIDES),
            one_of("inventory_port_carries_known", "carries", CARRIES),
            one_of("inventory_port_face_known", "face", FACES),
            one_of("inventory_port_poe_role_known", "poe_role", POE_ROLES, null=True),
            one_of("inventory_port_power_role_known", "power_role", POWER_ROLES, null=True),
            one_of("inventory_port_curve_known", "power_curve", BREAKER_CURVES, null=True),
            one_of("inventory_port_leg_known", "power_leg", OUTLET_LEGS, null=True),
            models.CheckConstraint(
                name="inventory_port_poe_class_in_range",
                condition=Q(poe_class__isnull=True) | Q(poe_class__range=(0, 8)),
            ),
            models.CheckConstraint(
                name="inventory_port_class_needs_role", condition=Q(poe_class__isnull=True) | Q(poe_role__isnull=False)
            ),
            models.CheckConstraint(
                name="inventory_port_volts_in_order",
                condition=Q(power_volts_max__gte=models.F("power_volts_min")),
            ),
        ]
