"""Where every test starts: with pytest-django loaded, the service is made ready; without it (``-p no:django``) calc is
tested alone, and nothing here touches Django."""

import os

import pytest
from hypothesis import settings

# The same examples every time, so that a red run means a change; HYPOTHESIS_PROFILE=search looks for new ones.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("search", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))


def pytest_configure(config: pytest.Config) -> None:
    if config.pluginmanager.hasplugin("django"):
        from tests import service

        service.prepare(config)
        config.pluginmanager.register(service, "service")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes longest, so that no worker is left alone with it at the end."""
    items.sort(key=_seconds, reverse=True)


def _seconds(item: pytest.Item) -> int:
    marker = item.get_closest_marker("long")
    return marker.args[0] if marker else 0
