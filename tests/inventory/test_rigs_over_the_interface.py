"""A sample of the whole rigs, entered over the interface and checked in the background as a technician's are."""

from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from inventory.checks.drain import drain
from inventory.models import Company
from tests.inventory.gear import Gear, make_everything_due
from tests.rigs.collection import ALL
from tests.rigs.declare import Body, Rig, ends

pytestmark = pytest.mark.django_db

SAMPLE = ALL[::4]


@pytest.mark.parametrize("rig", SAMPLE, ids=lambda rig: rig.name)
def test_the_interface_finds_what_the_calculation_finds(gear: Gear, rig: Rig):
    Company.objects.update(rules=rig.rules)
    specs: dict[int, int] = {}
    body = {
        "name": rig.name,
        **rig.kit,
        "positions": list(positions(gear, rig, specs)),
        "links": links(gear, rig, specs),
    }
    kit = gear.post("/kits/", body)
    if rig.brief is not None:
        ids = {position["label"]: position["id"] for position in kit["positions"]}
        gear.patch(f"/kits/{kit['id']}/", {"brief": with_ids(rig.brief, ids)})
    make_everything_due()
    drain()
    found = {(one["code"], one["severity"]) for one in gear.get(f"/kits/{kit['id']}/check/")["findings"]}
    assert set(rig.finds.items()) <= found
    named = {*rig.finds, *rig.also}
    assert {one for one in found if one[1] in ("stop", "caution") and one[0] not in named} == set()


def spec(gear: Gear, body: Body, specs: dict[int, int]) -> int:
    if id(body) not in specs:
        specs[id(body)] = gear.post("/specs/", dict(body))["id"]
    return specs[id(body)]


def positions(gear: Gear, rig: Rig, specs: dict[int, int]) -> Iterator[dict[str, Any]]:
    for label, part in rig.parts.items():
        planned = spec(gear, part.spec, specs)
        position = {"label": label, "spec": planned, "role": "case" if label == "case" else part.role}
        if not part.empty:
            position["unit"] = gear.post("/units/", {"spec": planned})["id"]
            for port, what in part.damage.items():
                fault = {"unit": position["unit"], "port": port, "what": what, "usable": True}
                gear.post("/faults/", fault)
        yield position


def links(gear: Gear, rig: Rig, specs: dict[int, int]) -> list[dict[str, Any]]:
    made = []
    for link in rig.links:
        (first, first_port), (second, second_port), cable = ends(link)
        one: dict[str, Any] = {
            "from": {"position": first, "port": first_port},
            "to": {"position": second, "port": second_port},
        }
        made.append(one if cable is None else one | {"cable_spec": spec(gear, cable, specs)})
    return made


def with_ids(value: Any, ids: Mapping[str, int]) -> Any:
    if isinstance(value, Mapping):
        return {name: ids[item] if name == "position" else with_ids(item, ids) for name, item in value.items()}
    return [with_ids(item, ids) for item in value] if isinstance(value, list | tuple) else value
