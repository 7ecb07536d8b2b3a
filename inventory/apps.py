from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"

    def ready(self) -> None:
        from inventory import constraints  # noqa: F401 - fills the table of constraints
