"""Where every test starts: with pytest-django loaded, the service is made ready; without it (``-p no:django``) calc is
tested alone, and nothing here touches Django."""

import pytest


def pytest_configure(config: pytest.Config) -> None:
    if config.pluginmanager.hasplugin("django"):
        from tests import service

        service.prepare(config)
        config.pluginmanager.register(service, "service")
