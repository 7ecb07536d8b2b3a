from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"

    def ready(self) -> None:
        from inventory import constraints, permits  # noqa: F401 - they fill the tables of constraints and permits
        from inventory.base.changes import FOLLOWERS
        from inventory.checks.touch import follow

        FOLLOWERS["checks"] = follow
