"""Reading and checking a kit of sixty devices: statements, and time against the calculation alone."""

from typing import Any

from tests.bench.database import prepare, seconds, statements

DEVICES = 60
PORTS = 20


def measure() -> list[tuple[str, float, str]]:
    prepare()
    from django.utils import timezone

    from calc.checks import run
    from inventory.assembly import read_kits

    kit = enter_kit_of_cameras()
    facts = read_kits([kit])[kit]
    return [
        (
            f"reading a kit of {DEVICES} devices for its check (goal 12)",
            statements(lambda: read_kits([kit])),
            "statements",
        ),
        (f"reading a kit of {DEVICES} devices", seconds(lambda: read_kits([kit])) * 1000, "ms"),
        ("all checks of that kit", seconds(lambda: run(facts, timezone.now()), rounds=10) * 1000, "ms"),
    ]


def enter_kit_of_cameras() -> int:
    """Enter a kit of cameras, each linked to a source's port, and return its id."""
    from inventory.base.changes import change
    from inventory.services.kits import create_kit
    from inventory.services.links import EndDraft, LinkDraft
    from inventory.services.positions import PositionDraft
    from inventory.services.units import create_units

    with change(actor_id=None, request_id="bench") as c:
        source, camera = _enter_specs(c)
        sources = create_units(c, fields={"spec": source}, quantity=DEVICES // PORTS)
        cameras = create_units(c, fields={"spec": camera}, quantity=DEVICES)
        return create_kit(
            c,
            fields={"name": "Sixty"},
            positions=[
                *(PositionDraft(label=f"source {n}", unit=unit) for n, unit in enumerate(sources)),
                *(PositionDraft(label=f"camera {n}", unit=unit) for n, unit in enumerate(cameras)),
            ],
            links=[
                LinkDraft(
                    a=EndDraft(position=f"camera {n}", port="lan"),
                    b=EndDraft(position=f"source {n // PORTS}", port=str(n % PORTS + 1)),
                )
                for n in range(DEVICES)
            ],
        )


def _enter_specs(c: Any) -> tuple[int, int]:
    from inventory.services.spec_rules import ports_from_text
    from inventory.services.specs import create_spec

    holes = ports_from_text(f"1-{PORTS} 8p8c 1G class4 out", kind="switch")
    lan = ports_from_text("lan 8p8c 1G class4 in", kind="camera")
    poe = {"budget_w": 740.0, "allotment": "class"}
    source = create_spec(c, fields={"name": "Source", "kind": "switch", "poe": poe, "ports": holes})
    return source, create_spec(c, fields={"name": "Camera", "kind": "camera", "ports": lan})
