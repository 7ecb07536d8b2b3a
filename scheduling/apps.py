from django.apps import AppConfig


class SchedulingConfig(AppConfig):
    name = "scheduling"

    def ready(self) -> None:
        from inventory.base.changes import add_follower
        from scheduling import checks, constraints, permits  # noqa: F401 - they fill the tables that they are named after
        from scheduling.promises.follow import reallocate_touched

        add_follower("promises", reallocate_touched)
