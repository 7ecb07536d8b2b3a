"""When installing may be left out: only while the pins are those of the last time."""

import json
import sys

import pytest

from config import install


@pytest.fixture
def marked(tmp_path, monkeypatch):
    """Mark sets as installed: ``marked(base=True)`` with the pins of now, ``False`` with others."""
    monkeypatch.setattr(install, "MARK", tmp_path / "installed.json")
    monkeypatch.setattr(install, "PYTHON", tmp_path / "python")
    (tmp_path / "python").symlink_to(sys.executable)

    def mark(**sets: bool) -> None:
        marks = {name: install.pins(name) if now else "other" for name, now in sets.items()}
        install.MARK.write_text(json.dumps(marks))

    return mark


@pytest.mark.parametrize(
    ("sets", "installed"),
    [
        ({"base": True}, ["base"]),
        ({"server": True}, ["base", "server"]),
        ({"dev": True}, ["base", "server", "dev"]),
        ({"dev": False}, []),
        ({}, []),
    ],
)
def test_a_set_is_installed_with_every_set_that_it_holds(marked, sets, installed):
    marked(**sets)
    assert [name for name in install.SETS if install.is_installed(name)] == installed


def test_nothing_is_installed_without_a_mark_or_without_python(marked):
    assert not install.is_installed("base")
    marked(base=True)
    install.PYTHON.unlink()
    assert not install.is_installed("base")
