"""What a kit offers outside: kept with its newest check, else worked out from its contents."""

from typing import TypedDict

from django.db.models import JSONField, OuterRef, Subquery

from calc.checks import RULES_VERSION
from calc.rig.capability import capability
from inventory.assembly import calculating, read_kits
from inventory.capability_document import CapabilityDocument, OfferShape, capability_document
from inventory.models import Check, Kit


class _OfWhich(TypedDict):
    kit: int
    version: int


class CapabilityShape(_OfWhich, OfferShape):
    """What a kit offers outside. Numbers that nobody knows are null."""


def show_capability(kit_id: int) -> CapabilityShape | None:
    """Return what a kit offers, or None when there is no such kit; one statement, or five where no check tells it.

    Raises:
        ContentsRefusedError: calculation does not take what is in it.
    """
    of_revision = Check.objects.filter(kit=OuterRef("pk"), revision=OuterRef("revision"), rules=RULES_VERSION)
    newest = of_revision.order_by("-pk").values("capability")[:1]  # of one that broke off, nothing is kept
    row = (
        Kit.objects.filter(pk=kit_id)
        .annotate(offers=Subquery(newest, output_field=JSONField()))
        .values_list("version", "offers")
        .first()
    )
    if row is None:
        return None
    version, document = row
    if document is None:
        kits = read_kits([kit_id])
        if kit_id not in kits:
            return None
        with calculating(kits[kit_id]):
            document = capability_document(capability(kits[kit_id]))
    return capability_shape(kit_id, version, document)


def capability_shape(kit_id: int, version: int, document: CapabilityDocument) -> CapabilityShape:
    """Return what a kit offers as programs see it."""
    return {
        "kit": kit_id,
        "version": version,
        "ports": document["ports"],
        "powered": document["powered"],
        "vlans": document["vlans"],
        "access_points": document["access_points"],
        "universes": document["universes"],
        "internet": document["internet"],
        "weight_kg": document["weight_kg"],
        "draw_va": document["draw_va"],
        "heat_w": document["heat_w"],
        "plug_map": document["plug_map"],
    }
