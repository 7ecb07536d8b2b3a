"""Gear for tests, entered through the interface as a planner would; a test names only what it is about."""

from dataclasses import dataclass, field
from itertools import count
from typing import Any

from rest_framework.test import APIClient

from inventory.checks.drain import drain
from inventory.models import Kit

BASE = "/api/v1"
SWITCH_LINE = "1-4 8p8c 1G class4 out; 5-8 8p8c 1G; dc dc-5.5x2.1 48-57V 78W"
DEVICE_LINE = "lan 8p8c 1G class{} in"
UNCLASSED = {"name": "lan", "connector": "8p8c", "side": "socket", "carries": "ethernet", "poe": {"role": "load"}}
HOLE = {"connector": "8p8c-rugged", "side": "socket", "carries": "ethernet", "face": "outside"}
REAR = {"connector": "8p8c", "side": "socket", "carries": "ethernet"}
PANEL = [
    *({"name": f"{n}", "through": f"{n} rear", **HOLE} for n in range(1, 5)),
    *({"name": f"{n} rear", **REAR} for n in range(1, 5)),
]


@dataclass
class Gear:
    """Enters specs, units and kits and answers their bodies; a refusal fails the test with the problem's text."""

    client: APIClient
    _numbers: Any = field(default_factory=lambda: count(1))

    def post(self, path: str, body: Any, expect: int = 201, **headers: str) -> Any:
        response = self.client.post(BASE + path, body, format="json", headers=headers)
        assert response.status_code == expect, response.content.decode()
        return response.json()

    def get(self, path: str, expect: int = 200) -> Any:
        response = self.client.get(BASE + path)
        assert response.status_code == expect, response.content.decode()
        return response.json()

    def patch(self, path: str, body: Any, expect: int = 200, **headers: str) -> Any:
        response = self.client.patch(BASE + path, body, format="json", headers=headers)
        assert response.status_code == expect, response.content.decode()
        return response.json()

    def put(self, path: str, body: Any, expect: int = 200) -> Any:
        response = self.client.put(BASE + path, body, format="json")
        assert response.status_code == expect, response.content.decode()
        return response.json()

    def delete(self, path: str, expect: int = 204) -> Any:
        response = self.client.delete(BASE + path)
        assert response.status_code == expect, response.content.decode()
        return response.json() if response.content else None

    def spec(self, kind: str = "tool", **fields: Any) -> int:
        return self.post("/specs/", {"name": f"{kind} {next(self._numbers)}", "kind": kind, **fields})["id"]

    def switch(self, budget_w: float = 65, **fields: Any) -> int:
        poe = {"budget_w": budget_w, "allotment": "class"}
        return self.spec("switch", ports_text=SWITCH_LINE, weight_kg=0.6, poe=poe, **fields)

    def device(self, poe_class: int | None = 4) -> int:
        if poe_class is None:
            return self.spec("camera", ports=[UNCLASSED], weight_kg=1.0)
        return self.spec("camera", ports_text=DEVICE_LINE.format(poe_class), weight_kg=1.0)

    def case(self) -> int:
        return self.spec("case", ports=PANEL, weight_kg=9.0)

    def unit(self, spec: int, **fields: Any) -> int:
        return self.post("/units/", {"spec": spec, **fields})["id"]

    def units(self, spec: int, quantity: int) -> list[int]:
        return [unit["id"] for unit in self.post("/units/", {"spec": spec, "quantity": quantity})["units"]]

    def kit(self, positions: Any = (), links: Any = (), **fields: Any) -> Any:
        fields.setdefault("case", self.unit(self.case()))
        name = f"Kit {next(self._numbers)}"
        return self.post("/kits/", {"name": name, "positions": list(positions), "links": list(links), **fields})

    def poe_kit(
        self, classes: tuple[int | None, ...] = (4, 4, 4), budgets_w: tuple[float, ...] = (65,), *, linked: bool = True
    ) -> Any:
        """Return a kit with switches of these budgets and devices of these classes, linked to the first switch."""
        switches = [self.switch(budget) for budget in budgets_w]
        positions = [
            {"label": f"switch {name}", "spec": spec, "unit": self.unit(spec)}
            for name, spec in zip("ABC", switches, strict=False)
        ]
        for number, poe_class in enumerate(classes, 1):
            spec = self.device(poe_class)
            positions.append({"label": f"camera {number}", "spec": spec, "unit": self.unit(spec)})
        links = [
            {"from": {"position": f"camera {n}", "port": "lan"}, "to": {"position": "switch A", "port": f"{n}"}}
            for n in range(1, len(classes) + 1)
        ]
        return self.kit(positions, links if linked else [])

    def check(self, kit_id: int) -> Any:
        """Run the worker's round now and return the check of the kit."""
        drain_now()
        return self.get(f"/kits/{kit_id}/check/")


def drain_now() -> int:
    """Run the worker's round without waiting out the short delay of an edit."""
    return drain(pause=lambda _seconds: make_everything_due())


def make_everything_due() -> None:
    """Bring forward what is due soon."""
    from django.utils import timezone

    Kit.objects.filter(check_due_at__gt=timezone.now()).update(check_due_at=timezone.now())


def codes(check: Any) -> set[tuple[str, str]]:
    """Return (code, severity) of each finding."""
    return {(finding["code"], finding["severity"]) for finding in check["findings"]}
