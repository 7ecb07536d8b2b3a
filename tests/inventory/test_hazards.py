"""Damage that can hurt somebody holds a unit back whatever is ticked, and is tested before the unit goes out again."""

import pytest
from django.contrib.auth.models import Group
from rest_framework.test import APIClient

from inventory.base.models import HistoryEntry, User
from tests.scheduling.asking import done, get, made, patch, post, refused
from tests.scheduling.factories import SpecFactory, UnitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def planner(api):
    return api("planner")


@pytest.fixture
def strip():
    """A strip of outlets with a data port for its meter."""
    spec = SpecFactory(kind="distro")
    spec.ports.create(name="in", connector="c14", side="plug", carries="mains", power_role="load")
    spec.ports.create(name="meter", connector="8p8c", side="socket", carries="ethernet")
    return UnitFactory(spec=spec)


def report(client, unit, what="shell", **more):
    return made(post(client, "/faults/", {"unit": unit.pk, "what": what, "usable": True} | more))


def repair(client, unit, **more):
    return post(client, "/repairs/", {"unit": unit.pk} | more)


@pytest.mark.parametrize(("what", "port"), [("shell", None), ("shell", "in"), ("contact", "in")])
def test_a_cracked_shell_or_contact_of_mains_holds_it_back_whatever_is_ticked(planner, strip, what, port):
    told = report(planner, strip, what, port=port)
    assert (told["usable"], told["unit_state"]) == (False, "held-back")


@pytest.mark.parametrize(("what", "port"), [("shell", "meter"), ("contact", "meter"), ("label", None), ("latch", "in")])
def test_other_damage_is_as_the_reporter_says(planner, strip, what, port):
    assert report(planner, strip, what, port=port)["usable"] is True


def test_a_battery_with_a_cracked_shell_is_held_back(planner):
    unit = UnitFactory(spec=SpecFactory(kind="battery"))
    assert report(planner, unit)["unit_state"] == "held-back"


def test_only_a_person_for_electrics_releases_it_with_a_reason(planner, strip):
    fault = report(planner, strip)
    path, usable = f"/faults/{fault['id']}/", {"usable": True, "note": "Only the paint is cracked."}
    refused(patch(planner, path, usable), 403, "for-electrics")
    both = User.objects.create(username="both")
    both.groups.set(Group.objects.filter(name__in=["planner", "electrics"]))
    electrician = APIClient()
    electrician.force_authenticate(both)
    refused(patch(electrician, path, {"usable": True}), 403, "for-electrics")
    assert done(patch(electrician, path, usable))["usable"] is True
    assert get(planner, f"/units/{strip.pk}/").json()["state"] == "in-service"


def test_its_repair_is_not_finished_without_a_test(planner, strip):
    report(planner, strip)
    problem = refused(repair(planner, strip, note="New shell."), 409, "test-needed")
    assert problem["unit"] == strip.pk
    made(post(planner, "/inspections/", {"unit": strip.pk, "passed": False}))
    refused(repair(planner, strip), 409, "test-needed")
    made(post(planner, "/inspections/", {"unit": strip.pk, "passed": True}))
    assert made(repair(planner, strip))["unit_state"] == "in-service"


def test_a_test_before_the_damage_proves_nothing(planner, strip):
    made(post(planner, "/inspections/", {"unit": strip.pk, "passed": True, "at": "2020-01-01T00:00:00Z"}))
    report(planner, strip)
    refused(repair(planner, strip), 409, "test-needed")


def test_a_written_waiver_stays_in_history(planner, strip):
    report(planner, strip)
    made(repair(planner, strip, waiver="The shell was replaced by the maker, with its test report 12."))
    entry = HistoryEntry.objects.get(noun="repair")
    assert entry.details["waiver"].startswith("The shell was replaced")
