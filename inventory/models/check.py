from django.db import models

from inventory.base.models.checked import AcceptanceRow, CheckRun, FoundRow
from inventory.models.kit import Kit, Position


class Check(CheckRun):
    """One finished evaluation of a kit."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="checks")
    capability = models.JSONField(null=True)
    """What the kit offers as planned, a ``CapabilityDocument``; None where the check broke."""

    class Meta(CheckRun.Meta):
        indexes = [models.Index(fields=["kit", "-id"], name="inventory_check_newest")]


class Finding(FoundRow):
    """One result of a check of a kit."""

    check_run = models.ForeignKey(Check, on_delete=models.CASCADE, related_name="findings")
    position = models.ForeignKey(Position, on_delete=models.SET_NULL, null=True, related_name="+")

    class Meta(FoundRow.Meta):
        indexes = [
            models.Index(fields=["check_run", "sort"], name="inventory_finding_in_order"),
            models.Index(fields=["code", "severity"], name="inventory_finding_of_code"),
        ]


class Acceptance(AcceptanceRow):
    """An accepted finding of a kit."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="acceptances")

    class Meta(AcceptanceRow.Meta):
        constraints = [
            models.UniqueConstraint(name="inventory_acceptance_once_a_finding", fields=["kit", "fingerprint"])
        ]
