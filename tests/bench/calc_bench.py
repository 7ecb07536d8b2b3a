"""How long the heavy calculations take on this machine: ``python -m tests.bench.calc_bench [topic ...]``.

A topic is a module beside this one with ``measure()``, which answers rows of (what, value, unit).
"""

import sys
from importlib import import_module

TOPICS = ("poe", "intervals", "mains")


def main(topics: tuple[str, ...]) -> None:
    """Print the figures of the topics."""
    for topic in topics:
        for what, value, unit in import_module(f"tests.bench.{topic}").measure():
            sys.stdout.write(f"{topic:<12} {what:<72} {value:>10.1f} {unit}\n")


if __name__ == "__main__":
    main(tuple(sys.argv[1:]) or TOPICS)
