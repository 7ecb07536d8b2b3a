"""The company's settings."""

import pytest

from inventory.models import Company, Kit
from tests.inventory.gear import Gear
from tests.web.reading import text

pytestmark = pytest.mark.django_db

TYPED = {"name": "Nine Barns", "timezone": "Europe/Zurich", "rules": "north_america", "currency": "CHF"}


def form(**changes: object) -> dict[str, object]:
    return {**TYPED, "version": Company.objects.get().version, "ledger": 0, **changes}


@pytest.mark.parametrize("role", ["viewer", "crew", "planner", "electrics"])
def test_others_read_the_settings_and_cannot_change_them(reader, role: str) -> None:
    somebody = reader(role)
    page = text(somebody.get("/settings/"))
    assert "Rules for mains" in page
    assert '<button class="go">Save' not in page
    assert somebody.post("/settings/", form()).status_code == 403
    assert Company.objects.get().currency == "EUR"


def test_the_owner_changes_them(reader) -> None:
    owner = reader("owner")
    answer = owner.post("/settings/", form())
    assert (answer.status_code, answer["Location"]) == (303, "/settings/?saved")
    assert Company.objects.values("name", "timezone", "rules", "currency").get() == TYPED
    page = text(owner.get("/settings/?saved"))
    assert "Saved." in page
    assert 'value="Nine Barns"' in page


def test_another_rule_set_checks_every_kit_again(reader) -> None:
    from tests.scheduling.factories import KitFactory

    kit = KitFactory(check_due_at=None, checked_revision=1)
    reader("owner").post("/settings/", form())
    assert Kit.objects.get(pk=kit.pk).check_due_at is not None


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("timezone", "Middle/Earth", "IANA time zone database"),
        ("currency", "francs", "Write three capital letters"),
        ("name", "", "This field is required."),
    ],
)
def test_what_cannot_be_used_is_said_beside_its_field(reader, field: str, value: str, said: str) -> None:
    answer = reader("owner").post("/settings/", form(**{field: value}))
    assert answer.status_code == 400
    assert said in text(answer)
    assert f"f-{field}_error" in text(answer)
    assert 'value="CHF"' in text(answer) or field == "currency"
    assert Company.objects.get().version == 1


def test_an_edit_over_somebody_elses_is_not_lost(reader) -> None:
    owner = reader("owner")
    old = form(name="Mine")
    owner.post("/settings/", form(name="Theirs"))
    answer = owner.post("/settings/", old)
    assert answer.status_code == 412
    assert 'value="Mine"' in text(answer)
    assert "It stands at Theirs" in text(answer)
    assert Company.objects.get().name == "Theirs"


def test_the_demo_says_that_it_is_one(reader, settings) -> None:
    assert "This is the demo company" not in text(reader("viewer").get("/settings/"))
    settings.DEMO = True
    assert "This is the demo company" in text(reader("viewer").get("/settings/"))


def overloaded_kit(gear: Gear) -> int:
    """Return a kit in which one outlet, behind 16 A, feeds 4.2 kW: too much under either rule set."""
    inlet = {"name": "in", "connector": "c20", "side": "plug", "carries": "mains", "power": {"role": "load"}}
    feed = {"role": "source", "breaker_a": 16}
    outlet = {"name": "1", "connector": "c19", "side": "socket", "carries": "mains", "power": feed}
    distro = gear.spec("distro", ports=[inlet, outlet])
    load = gear.spec("other", ports=[inlet], power={"max_w": 4200, "power_factor": 1, "protection_class": "I"})
    positions = [{"label": "distro", "unit": gear.unit(distro)}, {"label": "heater", "unit": gear.unit(load)}]
    ends = {"from": {"position": "distro", "port": "1"}, "to": {"position": "heater", "port": "in"}}
    return gear.kit(positions, [ends])["id"]


def test_another_rule_set_changes_what_the_checks_find(reader, api) -> None:
    """The published ratings: an IEC 60320 C19 carries 16 A, its North American listing 20 A; a breaker there carries
    80 % of its rating for three hours or more (NFPA 70, article 210). The voltage is the nominal one: 230 V, 120 V."""
    gear = Gear(api("planner"))
    kit = overloaded_kit(gear)
    seen = {}
    for rules in ("iec", "north_america"):
        Gear(api("owner")).patch("/company/", {"rules": rules})
        assert gear.get(f"/kits/{kit}/check/")["state"] == "queued"
        findings = {finding["code"]: finding for finding in gear.check(kit)["findings"]}
        limits = {code: findings[code]["limit"] for code in ("circuit-overload", "coupler-overload")}
        seen[rules] = (
            limits,
            findings["coupler-overload"]["inputs"]["rules"],
            text(reader("planner").get(f"/kits/{kit}/")),
        )
    assert seen["iec"][:2] == ({"circuit-overload": 16, "coupler-overload": 16}, "iec")
    assert seen["north_america"][:2] == ({"circuit-overload": 12.8, "coupler-overload": 20}, "north_america")
    assert "18.3" in seen["iec"][2]
    assert "35.0" in seen["north_america"][2]
