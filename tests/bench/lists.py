"""A list of a hundred kits against the same rows read bare; goal: at most twice as long."""

from tests.bench.database import prepare, seconds, statements

KITS = 100


def measure() -> list[tuple[str, float, str]]:
    prepare()
    from rest_framework.test import APIClient

    from inventory.base.models import User
    from inventory.models import Kit
    from inventory.selectors.kits import kit_rows, show_kits
    from tests.bench.rows import enter_kits

    enter_kits(KITS)
    user, _ = User.objects.get_or_create(username="reader")
    user.groups.add(*_groups("viewer"))
    client = APIClient()
    client.force_authenticate(user)

    def bare() -> object:
        return list(Kit.objects.order_by("name", "id").values()[:KITS])

    def shown() -> object:
        return show_kits(list(kit_rows().order_by("name", "id")[:KITS]))

    def endpoint() -> object:
        return client.get("/api/v1/kits/").content

    floor, selector, whole = seconds(bare), seconds(shown), seconds(endpoint)
    return [
        (f"list of {KITS} kits: bare .values(), the floor", floor * 1000, "ms"),
        (f"list of {KITS} kits: selector and shapes, against the floor (goal 2)", selector / floor, "x"),
        (f"list of {KITS} kits: whole endpoint with JSON, against the floor", whole / floor, "x"),
        (f"list of {KITS} kits: statements", statements(endpoint), "statements"),
    ]


def _groups(name: str) -> list[object]:
    from django.contrib.auth.models import Group

    return list(Group.objects.filter(name=name))
