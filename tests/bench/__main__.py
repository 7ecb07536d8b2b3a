"""Measures what has to be fast: ``python -m tests.bench [topic ...]``.

A topic is a module beside this one with ``measure()``, which answers rows of (what, value, unit).
"""

import os
import pkgutil
import platform
import subprocess
import sys
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).parent


def topics() -> list[str]:
    """Return the names of the modules here that can measure."""
    names = sorted(module.name for module in pkgutil.iter_modules([str(HERE)]) if module.name != "__main__")
    return [name for name in names if hasattr(import_module(f"tests.bench.{name}"), "measure")]


def main(wanted: list[str]) -> None:
    if unknown := sorted(set(wanted) - set(topics())):
        sys.exit(f"There is no {', '.join(unknown)} here; there are: {', '.join(topics())}.")
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores, {platform.machine()}", flush=True)
    for topic in wanted:
        # In a process of its own each finds the database empty, and leaves no rows to the next.
        subprocess.run([sys.executable, "-c", f"from tests.bench.__main__ import show; show({topic!r})"], check=True)


def show(topic: str) -> None:
    """Measure a topic, and print what it answers."""
    for what, value, unit in import_module(f"tests.bench.{topic}").measure():
        print(f"{topic:<14} {what:<72} {value:>12,.1f} {unit}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:] or topics())
