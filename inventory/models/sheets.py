"""The parts of a data sheet that not every spec has: one table each, one row a spec.

Columns are named as in ``calc.rig.kit``'s sheets; a test compares the names.
"""

from django.db import models

from calc.channel import FIBRE_APPLICATIONS
from calc.vocabulary import ALLOTMENTS, PROTECTION_CLASSES
from inventory.base.columns import at_least, choices, one_of
from inventory.models.spec import Spec


class SpecPower(models.Model):
    """What it draws from mains, and what a supply gives."""

    spec = models.OneToOneField(Spec, on_delete=models.CASCADE, primary_key=True, related_name="power")
    rated_a = models.FloatField(null=True)
    at_volts = models.FloatField(null=True)
    max_w = models.FloatField(null=True)
    typical_w = models.FloatField(null=True)
    power_factor = models.FloatField(null=True)
    third_harmonic = models.FloatField(null=True)
    leakage_ma = models.FloatField(null=True)
    inrush_a = models.FloatField(null=True)
    inrush_ms = models.FloatField(null=True)
    protection_class = models.CharField(max_length=3, choices=choices(PROTECTION_CLASSES), null=True)
    efficiency = models.FloatField(null=True)
    output_volts = models.FloatField(null=True)
    output_w = models.FloatField(null=True)
    output_va = models.FloatField(null=True)
    neutral_bonded = models.BooleanField(null=True)
    inlets_apart = models.BooleanField(null=True)

    class Meta:
        constraints = [
            one_of("inventory_specpower_class_known", "protection_class", PROTECTION_CLASSES, null=True),
            models.CheckConstraint(
                name="inventory_specpower_factor_in_range",
                condition=models.Q(power_factor__isnull=True) | models.Q(power_factor__gt=0, power_factor__lte=1),
            ),
            models.CheckConstraint(
                name="inventory_specpower_efficiency_in_range",
                condition=models.Q(efficiency__isnull=True) | models.Q(efficiency__gt=0, efficiency__lte=1),
            ),
        ]


class SpecPoe(models.Model):
    """How much it gives over Ethernet in all, and by which rule it counts."""

    spec = models.OneToOneField(Spec, on_delete=models.CASCADE, primary_key=True, related_name="poe")
    budget_w = models.FloatField(null=True)
    allotment = models.CharField(max_length=12, choices=choices(ALLOTMENTS), null=True)
    efficiency = models.FloatField(null=True)

    class Meta:
        constraints = [
            one_of("inventory_specpoe_allotment_known", "allotment", ALLOTMENTS, null=True),
            at_least("inventory_specpoe_budget_not_negative", "budget_w", 0),
            models.CheckConstraint(
                name="inventory_specpoe_efficiency_in_range",
                condition=models.Q(efficiency__isnull=True) | models.Q(efficiency__gt=0, efficiency__lte=1),
            ),
        ]


class SpecCable(models.Model):
    spec = models.OneToOneField(Spec, on_delete=models.CASCADE, primary_key=True, related_name="cable")
    length_m = models.FloatField(null=True)
    awg = models.SmallIntegerField(null=True)
    area_mm2 = models.FloatField(null=True)
    stranded = models.BooleanField(null=True)
    category = models.CharField(max_length=20, null=True)
    pairs = models.PositiveSmallIntegerField(null=True)
    rated_a = models.FloatField(null=True)
    coiled_a = models.FloatField(null=True)
    fuse_a = models.FloatField(null=True)

    class Meta:
        constraints = [at_least("inventory_speccable_length_not_negative", "length_m", 0)]


class SpecNetwork(models.Model):
    spec = models.OneToOneField(Spec, on_delete=models.CASCADE, primary_key=True, related_name="network")
    managed = models.BooleanField(null=True)
    vlans = models.BooleanField(null=True)
    snooping = models.BooleanField(null=True)
    querier = models.BooleanField(null=True)
    dhcp_server = models.BooleanField(null=True)


class SpecCooling(models.Model):
    spec = models.OneToOneField(Spec, on_delete=models.CASCADE, primary_key=True, related_name="cooling")
    fan_m3h = models.FloatField(null=True)
    max_ambient_celsius = models.FloatField(null=True)

    class Meta:
        constraints = [at_least("inventory_speccooling_flow_not_negative", "fan_m3h", 0)]


class SpecBattery(models.Model):
    spec = models.OneToOneField(Spec, on_delete=models.CASCADE, primary_key=True, related_name="battery")
    volts = models.FloatField(null=True)
    amp_hours = models.FloatField(null=True)


class SpecOptics(models.Model):
    """The light that a module, or a device with optics built in, sends and takes."""

    spec = models.OneToOneField(Spec, on_delete=models.CASCADE, primary_key=True, related_name="optics")
    application = models.CharField(max_length=20, choices=choices(FIBRE_APPLICATIONS), null=True)
    wavelength_nm = models.SmallIntegerField(null=True)
    receives_nm = models.SmallIntegerField(null=True)

    class Meta:
        constraints = [one_of("inventory_specoptics_application_known", "application", FIBRE_APPLICATIONS, null=True)]


class SpecSound(models.Model):
    """The impedance of a loudspeaker, and the least that an output of an amplifier drives."""

    spec = models.OneToOneField(Spec, on_delete=models.CASCADE, primary_key=True, related_name="sound")
    impedance_ohm = models.FloatField(null=True)
    least_ohm = models.FloatField(null=True)

    class Meta:
        constraints = [
            at_least("inventory_specsound_impedance_above_zero", "impedance_ohm", 0, strictly=True),
            at_least("inventory_specsound_least_above_zero", "least_ohm", 0, strictly=True),
        ]


SHEETS: dict[str, type[models.Model]] = {
    "power": SpecPower,
    "poe": SpecPoe,
    "cable": SpecCable,
    "network": SpecNetwork,
    "cooling": SpecCooling,
    "battery": SpecBattery,
    "optics": SpecOptics,
    "sound": SpecSound,
}
