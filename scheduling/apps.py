from django.apps import AppConfig


class SchedulingConfig(AppConfig):
    name = "scheduling"

    def ready(self) -> None:
        from scheduling import constraints  # noqa: F401 - fills the table of constraints
