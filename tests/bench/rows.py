"""Rows for measuring, entered through the services."""


def enter_kits(count: int, units_each: int = 1) -> list[int]:
    """Enter kits, each with its case and ``units_each - 1`` further units, and return their ids."""
    from inventory.base.changes import change
    from inventory.services.kits import create_kit
    from inventory.services.positions import PositionDraft
    from inventory.services.specs import create_spec
    from inventory.services.units import create_units

    with change(actor_id=None, request_id="bench") as c:
        case = create_spec(c, fields={"name": "Case", "kind": "case"})
        thing = create_spec(c, fields={"name": "Thing", "kind": "tool"})
    kits = []
    for number in range(count):
        with change(actor_id=None, request_id="bench") as c:
            packed = create_units(c, fields={"spec": thing}, quantity=units_each - 1) if units_each > 1 else []
            kits.append(
                create_kit(
                    c,
                    fields={"name": f"Kit {number:04d}", "case": create_units(c, fields={"spec": case})[0]},
                    positions=[PositionDraft(label=f"place {i}", unit=unit) for i, unit in enumerate(packed)],
                )
            )
    return kits
