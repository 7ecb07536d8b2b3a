"""The one door for every write: keys, versions, dry runs, history, and that a refusal leaves no trace."""

import pytest

from inventory.base.changes import ledger_version
from inventory.base.models import HistoryEntry, IdempotentAnswer
from inventory.models import Kit, Spec, Unit
from tests.inventory.gear import BASE, Gear

pytestmark = pytest.mark.django_db


def test_the_same_post_twice_has_one_effect(gear: Gear):
    body = {"spec": gear.spec()}
    first = gear.client.post(BASE + "/units/", body, format="json", headers={"Idempotency-Key": "k-1"})
    again = gear.client.post(BASE + "/units/", body, format="json", headers={"Idempotency-Key": "k-1"})
    assert first.status_code == again.status_code == 201
    assert first.json() == again.json()
    assert again["Idempotency-Replayed"] == "true"
    assert again["Location"] == first["Location"]
    assert again["ETag"] == first["ETag"]
    assert "Idempotency-Replayed" not in first
    assert Unit.objects.count() == 1


def test_a_key_with_another_body_is_refused(gear: Gear):
    spec = gear.spec()
    gear.post("/units/", {"spec": spec}, **{"Idempotency-Key": "k-1"})
    problem = gear.post("/units/", {"spec": spec, "serial": "1"}, expect=422, **{"Idempotency-Key": "k-1"})
    assert problem["type"] == "/problems/key-reused"
    assert Unit.objects.count() == 1


def test_a_key_belongs_to_one_person_and_one_address(gear: Gear, api):
    spec = gear.spec()
    gear.post("/units/", {"spec": spec}, **{"Idempotency-Key": "k-1"})
    gear.post("/locations/", {"name": "Shelf"}, **{"Idempotency-Key": "k-1"})
    owner = Gear(api("owner"))
    owner.post("/units/", {"spec": spec}, **{"Idempotency-Key": "k-1"})
    assert Unit.objects.count() == 2


def test_a_refusal_is_judged_anew(gear: Gear):
    unit = gear.unit(gear.spec())
    kit = gear.kit([{"label": "one", "unit": unit}])
    other = gear.kit()
    path, body = f"/kits/{other['id']}/positions/", {"label": "one", "unit": unit}
    gear.post(path, body, expect=409, **{"Idempotency-Key": "k-1"})
    gear.patch(f"/kits/{kit['id']}/positions/{kit['positions'][1]['id']}/", {"unit": None})
    gear.post(path, body, expect=201, **{"Idempotency-Key": "k-1"})


@pytest.mark.parametrize("key", ["", " ", "a b", "x" * 256, "é"])
def test_a_key_is_visible_characters(gear: Gear, key: str):
    gear.post("/locations/", {"name": "Shelf"}, expect=400, **{"Idempotency-Key": key})


def test_an_old_answer_is_dropped_after_fourteen_days(gear: Gear):
    from datetime import timedelta

    from django.db.models import F

    body = {"name": "Shelf"}
    first = gear.post("/locations/", body, **{"Idempotency-Key": "k-1"})
    IdempotentAnswer.objects.update(created_at=F("created_at") - timedelta(days=14, seconds=1))
    assert gear.post("/locations/", body, **{"Idempotency-Key": "k-1"})["id"] != first["id"]
    assert IdempotentAnswer.objects.count() == 1


def test_an_edit_from_an_old_reading_is_refused_with_the_version_that_stands(gear: Gear):
    kit = gear.kit()
    path = f"/kits/{kit['id']}/"
    tag = gear.client.get(BASE + path)["ETag"]
    gear.patch(path, {"purpose": "first"}, **{"If-Match": tag})
    problem = gear.patch(path, {"purpose": "second"}, expect=412, **{"If-Match": tag})
    assert problem["type"] == "/problems/stale"
    assert problem["version"] == 2
    assert gear.get(path)["purpose"] == "first"
    gear.patch(path, {"purpose": "third"}, **{"If-Match": "*"})
    gear.patch(path, {"purpose": "fourth"}, **{"If-Match": '"3"'})
    gear.patch(path, {"purpose": "fifth"})


@pytest.mark.parametrize(("tag", "status"), [("nonsense", 400), ('"x.y"', 400), (",", 412)])
def test_an_if_match_that_is_no_tag_is_refused(gear: Gear, tag: str, status: int):
    """RFC 9110 13.1.1: a list without a tag is well formed, and matches no version."""
    kit = gear.kit()
    response = gear.client.patch(f"{BASE}/kits/{kit['id']}/", {}, format="json", headers={"If-Match": tag})
    assert response.status_code == status
    assert response["Content-Type"] == "application/problem+json"


def test_a_deletion_from_an_old_reading_is_refused(gear: Gear):
    kit = gear.kit()
    path = f"{BASE}/kits/{kit['id']}/"
    tag = gear.client.get(path)["ETag"]
    gear.patch(f"/kits/{kit['id']}/", {"purpose": "changed"})
    assert gear.client.delete(path, headers={"If-Match": tag}).status_code == 412
    assert gear.client.delete(path).status_code == 204


def test_a_reader_who_has_it_gets_304(gear: Gear):
    path = f"{BASE}/units/{gear.unit(gear.spec())}/"
    tag = gear.client.get(path)["ETag"]
    assert gear.client.get(path, headers={"If-None-Match": tag}).status_code == 304
    # RFC 9110, 13.1.2: a star stands for whatever is there
    assert gear.client.get(path, headers={"If-None-Match": "*"}).status_code == 304
    gear.patch(path.removeprefix(BASE), {"condition": "worn"})
    fresh = gear.client.get(path, headers={"If-None-Match": tag})
    assert fresh.status_code == 200
    assert fresh["ETag"].startswith(f'"{fresh.json()["version"]}.')


def test_a_dry_run_answers_and_writes_nothing(gear: Gear):
    version, entries = ledger_version(), HistoryEntry.objects.count()
    body = gear.post("/kits/?dry_run=true", {"name": "K", "case": gear_case(gear)}, expect=200)
    assert body["name"] == "K"
    assert not Kit.objects.exists()
    assert HistoryEntry.objects.count() - entries == 2  # the spec and the unit of the case, entered above
    assert ledger_version() - version == 2


def gear_case(gear: Gear) -> int:
    return gear.unit(gear.case())


def test_a_dry_run_of_a_refusal_is_the_refusal(gear: Gear):
    gear.post("/kits/?dry_run=true", {"name": "K", "case": 999_999}, expect=400)
    gear.post("/kits/?dry_run=perhaps", {"name": "K"}, expect=400)


def test_each_change_is_one_version_and_is_told(gear: Gear, people):
    before = ledger_version()
    unit = gear.unit(gear.spec())
    assert ledger_version() == before + 2
    entry = HistoryEntry.objects.get(noun="unit", object_id=unit)
    assert (entry.verb, entry.actor, entry.version) == ("create", people["planner"], before + 2)
    assert entry.request_id


def test_a_refusal_leaves_every_table_as_it_was(gear: Gear):
    from django.apps import apps

    kit = gear.poe_kit((4, 4))

    def rows() -> dict[str, list]:
        return {
            model._meta.label: sorted(map(repr, model._default_manager.values_list()))
            for model in apps.get_models()
            if model._meta.app_label in {"base", "inventory", "scheduling"}
        }

    before = rows()
    end = {"position": "switch A", "port": "1"}
    refused = [
        ("post", f"/kits/{kit['id']}/links/", {"from": {"position": "case", "port": "1 rear"}, "to": end}),
        ("post", "/kits/", {"name": "K", "case": kit["case"]}),
        ("post", "/units/", {"spec": kit["positions"][1]["spec"], "tag": Unit.objects.get(pk=kit["case"]).tag}),
        ("patch", f"/specs/{kit['positions'][1]['spec']}/", {"ports": []}),
        ("put", f"/kits/{kit['id']}/contents/", {"positions": [{"label": "a", "unit": kit["case"]}]}),
        ("delete", f"/kits/{kit['id']}/positions/{kit['positions'][1]['id']}/", None),
        ("post", "/faults/", {"unit": kit["case"], "what": "dead", "port": "99"}),
    ]
    for method, path, body in refused:
        response = getattr(gear.client, method)(BASE + path, body, format="json")
        assert 400 <= response.status_code < 500, (method, path, response.content)
    assert rows() == before


def test_every_answer_carries_the_request_id(gear: Gear):
    response = gear.client.get(BASE + "/specs/", headers={"X-Request-ID": "dock-7"})
    assert response["X-Request-ID"] == "dock-7"
    assert len(gear.client.get(BASE + "/specs/", headers={"X-Request-ID": "a b"})["X-Request-ID"]) == 32


def test_a_broken_constraint_is_told_by_its_own_sentence(gear: Gear):
    """Code looks first; where it does not, the database's refusal still becomes a problem and not a defect."""
    from inventory.base.changes import change
    from inventory.base.errors import RuleBrokenError

    with (
        pytest.raises(RuleBrokenError, match=r"A weight is not negative\."),
        change(actor_id=None, request_id="test"),
    ):
        Spec.objects.create(name="S", kind="tool", weight_kg=-1)


def test_deleting_and_editing_what_is_gone_is_404(gear: Gear):
    for method in ("get", "patch", "delete"):
        response = getattr(gear.client, method)(BASE + "/kits/999999/", {}, format="json")
        assert response.status_code == 404
        assert response.json()["type"] == "/problems/not-found"
