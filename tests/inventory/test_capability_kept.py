"""What a kit offers is worked out once, with its check, and worked out anew where no check tells it."""

from dataclasses import fields
from typing import get_type_hints

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from calc.rig.capability import Capability, PanelPorts, PlugMap, PlugRow, PoweredPorts
from calc.rig.subjects import Subject
from inventory.capability_document import (
    CapabilityDocument,
    PanelPortsShape,
    PlugMapShape,
    PlugRowShape,
    PoweredShape,
    SubjectShape,
)
from inventory.models import Check
from inventory.selectors.capability import show_capability
from inventory.selectors.checks import read_check
from inventory.selectors.drawings import assembled, kit_facts
from tests.inventory.gear import Gear

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("shape", "facts"),
    [
        (CapabilityDocument, Capability),
        (PanelPortsShape, PanelPorts),
        (PoweredShape, PoweredPorts),
        (PlugMapShape, PlugMap),
        (PlugRowShape, PlugRow),
        (SubjectShape, Subject),
    ],
)
def test_the_document_has_the_fields_of_calculation(shape, facts):
    assert set(get_type_hints(shape)) == {field.name for field in fields(facts)}


def test_a_kit_that_no_check_has_seen_is_worked_out_as_the_check_does_it(gear: Gear):
    kit = gear.poe_kit((4, 4, 4), (65, 120), linked=False)
    before = show_capability(kit["id"])
    assert not Check.objects.filter(kit=kit["id"]).exists()
    gear.check(kit["id"])
    with CaptureQueriesContext(connection) as asked:
        assert show_capability(kit["id"]) == before
    assert len(asked) == 1


def test_what_is_kept_is_shown_until_the_kit_changes(gear: Gear):
    kit = gear.poe_kit((4, 4, 4), (65, 120))
    gear.check(kit["id"])
    mark_kept(kit["id"], worst_w=1234.5)
    assert worst_w(kit["id"]) == (1234.5, 1234.5)
    link = f"/kits/{kit['id']}/links/{kit['links'][2]['id']}/"
    gear.patch(link, {"to": {"position": "switch B", "port": "1"}})
    assert worst_w(kit["id"]) == (5.0, 5.0)
    gear.check(kit["id"])
    assert worst_w(kit["id"]) == (5.0, 5.0)


def test_what_older_rules_made_is_not_shown(gear: Gear):
    kit = gear.poe_kit((4, 4), (65,))
    gear.check(kit["id"])
    mark_kept(kit["id"], worst_w=1234.5)
    Check.objects.filter(kit=kit["id"]).update(rules=1)
    assert worst_w(kit["id"]) == (5.0, 5.0)


def test_devices_without_a_source_are_kept_for_the_page_only(gear: Gear):
    kit = gear.poe_kit((4, 4, 4), (65,), linked=False)
    gear.check(kit["id"])
    read = read_check(kit["id"])
    assert read is not None
    assert read.capability is not None
    assert len(read.capability["starved"]) == 1
    assert "starved" not in gear.get(f"/kits/{kit['id']}/capability/")


def mark_kept(kit_id, **plug_map):
    check = Check.objects.get(kit=kit_id)
    check.capability["plug_map"].update(plug_map)
    check.save(update_fields=["capability"])


def worst_w(kit_id):
    """Return the watts under the worst plugging: as the interface shows them, and as pages draw them."""
    facts, check, shown = kit_facts(kit_id), read_check(kit_id), show_capability(kit_id)
    assert facts is not None
    assert check is not None
    assert shown is not None
    return shown["plug_map"]["worst_w"], assembled(facts, check).offers["plug_map"]["worst_w"]
