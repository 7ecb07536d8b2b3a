from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"

    def ready(self) -> None:
        from inventory import constraints, permits  # noqa: F401 - they fill the tables of constraints and permits
        from inventory.base.changes import add_follower
        from inventory.base.queues import register
        from inventory.checks.kits import KITS
        from inventory.checks.touch import follow

        register(KITS)
        add_follower("checks", follow)
