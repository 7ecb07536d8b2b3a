from django.db import models

from calc.vocabulary import BREAKER_CURVES, RULE_SETS
from inventory.base.columns import at_least, choices, one_of

RCD_TYPES = ("AC", "A", "F", "B")
"""Waveforms that a residual current device responds to (IEC 60755)."""


class Venue(models.Model):
    """A place where shows happen, with what its house installation offers as far as anybody knows."""

    name = models.CharField(max_length=200)
    timezone = models.CharField(max_length=60)
    """A name of the IANA time zone database."""
    rules = models.CharField(max_length=20, choices=choices(RULE_SETS), null=True)
    lan_ranges = models.JSONField(default=list)
    """Address blocks that the venue uses already, in CIDR notation."""
    internet_down_mbps = models.FloatField(null=True)
    internet_up_mbps = models.FloatField(null=True)
    ambient_celsius = models.FloatField(null=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("scheduling_venue_rules_known", "rules", RULE_SETS, null=True),
            at_least("scheduling_venue_down_not_negative", "internet_down_mbps", 0),
            at_least("scheduling_venue_up_not_negative", "internet_up_mbps", 0),
        ]

    def __str__(self) -> str:
        return self.name


class VenueCircuit(models.Model):
    """One circuit of the house; what nobody has asked yet is NULL."""

    venue = models.ForeignKey(Venue, on_delete=models.CASCADE, related_name="circuits")
    name = models.CharField(max_length=100)
    sort = models.PositiveIntegerField(default=0)
    breaker_a = models.FloatField(null=True)
    volts = models.FloatField(null=True)
    leg = models.CharField(max_length=20, default="", blank=True)
    curve = models.CharField(max_length=2, choices=choices(BREAKER_CURVES), null=True)
    rcd_ma = models.FloatField(null=True)
    rcd_type = models.CharField(max_length=2, choices=choices(RCD_TYPES), null=True)
    connector = models.CharField(max_length=40, null=True)
    """Code in the connector register."""
    zone = models.CharField(max_length=100, default="", blank=True)
    already_used_a = models.FloatField(null=True)

    class Meta:
        ordering = ["sort", "id"]
        constraints = [
            models.UniqueConstraint(name="scheduling_venuecircuit_name_once_a_venue", fields=["venue", "name"]),
            one_of("scheduling_venuecircuit_curve_known", "curve", BREAKER_CURVES, null=True),
            one_of("scheduling_venuecircuit_rcd_type_known", "rcd_type", RCD_TYPES, null=True),
            at_least("scheduling_venuecircuit_breaker_positive", "breaker_a", 0, strictly=True),
            at_least("scheduling_venuecircuit_volts_positive", "volts", 0, strictly=True),
            at_least("scheduling_venuecircuit_rcd_positive", "rcd_ma", 0, strictly=True),
            at_least("scheduling_venuecircuit_used_not_negative", "already_used_a", 0),
        ]
