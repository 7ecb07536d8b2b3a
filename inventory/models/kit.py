from django.db import models
from django.db.models import F, Q

from calc.vocabulary import CASE_BUILDS, POSITION_ROLES, RETENTIONS
from inventory.base.columns import choices, one_of
from inventory.base.models.checked import CheckedRow
from inventory.models.spec import Spec
from inventory.models.unit import Unit


class Kit(CheckedRow):
    """A road case, bag or rack with its planned and its actual contents."""

    name = models.CharField(max_length=200)
    purpose = models.CharField(max_length=200, default="", blank=True)
    build = models.CharField(max_length=20, choices=choices(CASE_BUILDS), null=True)
    ambient_celsius = models.FloatField(null=True)
    exposed_retention = models.CharField(max_length=10, choices=choices(RETENTIONS), null=True)
    colour = models.CharField(max_length=40, default="", blank=True)
    """What people mark the case with: letters of IEC 60757 or a word."""
    wired_at = models.DateTimeField(null=True)
    """When a link was last created, changed or deleted."""
    brief = models.JSONField(null=True)
    """What the kit is for, as ``inventory.brief_document`` writes it; None: not stated."""
    drafted_from = models.ForeignKey("self", on_delete=models.SET_NULL, null=True, related_name="drafts")
    """The kit whose plan this one began with. A draft often replaces it: it may go, and the draft stays."""
    retired_at = models.DateTimeField(null=True)
    """When it was taken out of use: its units are loose since, and its plan is kept."""
    version = models.PositiveIntegerField(default=1)

    class Meta(CheckedRow.Meta):
        constraints = [
            *CheckedRow.Meta.constraints,
            one_of("inventory_kit_build_known", "build", CASE_BUILDS, null=True),
            one_of("inventory_kit_retention_known", "exposed_retention", RETENTIONS, null=True),
            models.CheckConstraint(
                name="inventory_kit_not_drafted_from_itself",
                condition=Q(drafted_from__isnull=True) | ~Q(drafted_from=F("id")),
            ),
        ]
        indexes = [
            *CheckedRow.Meta.indexes,
            models.Index(fields=["name", "id"], name="inventory_kit_by_name"),
        ]

    def __str__(self) -> str:
        return self.name


class Position(models.Model):
    """One place in a kit for one unit of a spec."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="positions")
    label = models.CharField(max_length=60)
    sort = models.PositiveIntegerField(default=0)
    spec = models.ForeignKey(Spec, on_delete=models.PROTECT, related_name="positions")
    role = models.CharField(max_length=10, choices=choices(POSITION_ROLES))
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, null=True, related_name="positions")
    accepts = models.ManyToManyField(Spec, related_name="accepted_in")

    class Meta:
        ordering = ["sort", "id"]
        constraints = [
            models.UniqueConstraint(name="inventory_position_label_once_a_kit", fields=["kit", "label"]),
            one_of("inventory_position_role_known", "role", POSITION_ROLES),
            models.UniqueConstraint(
                name="inventory_position_unit_in_one_place", fields=["unit"], condition=~Q(role="case")
            ),
            models.UniqueConstraint(
                name="inventory_position_unit_case_of_one_kit", fields=["unit"], condition=Q(role="case")
            ),
            models.UniqueConstraint(name="inventory_position_one_case_a_kit", fields=["kit"], condition=Q(role="case")),
        ]


class Link(models.Model):
    """One wired connection between two ports of a kit; its ends are rows of their own."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="links")
    cable_position = models.ForeignKey(Position, on_delete=models.PROTECT, null=True, related_name="cable_of")
    cable_spec = models.ForeignKey(Spec, on_delete=models.PROTECT, null=True, related_name="cable_in")
    label = models.CharField(max_length=100, default="", blank=True)
    colour = models.CharField(max_length=40, default="", blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                name="inventory_link_cable_used_once",
                fields=["cable_position"],
                condition=Q(cable_position__isnull=False),
            ),
        ]


class LinkEnd(models.Model):
    """One end of a link. It names the port, so that an alternative of another spec can take the place."""

    link = models.ForeignKey(Link, on_delete=models.CASCADE, related_name="ends")
    end = models.CharField(max_length=1, choices=choices("ab"))
    position = models.ForeignKey(Position, on_delete=models.PROTECT, related_name="link_ends")
    port_name = models.CharField(max_length=60)

    class Meta:
        ordering = ["end"]
        constraints = [
            one_of("inventory_linkend_end_known", "end", "ab"),
            models.UniqueConstraint(name="inventory_linkend_end_once_a_link", fields=["link", "end"]),
            models.UniqueConstraint(name="inventory_linkend_port_used_once", fields=["position", "port_name"]),
        ]
