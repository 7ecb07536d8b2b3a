"""Every address of the service with what answers there, read from the resolver."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.urls import URLPattern, URLResolver, get_resolver

METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE")
SAMPLES = ("999999999", "nothing-here", "00000000-0000-4000-8000-000000000000")
"""What stands for a part of an address: the first that the part takes; there is no such row."""


@dataclass(frozen=True)
class Route:
    pattern: str
    """As in the tables of routes: ``api/v1/kits/<row:kit_id>/``."""
    view: Any
    path: str
    """An address that it takes, of things that are not there."""

    @property
    def permits(self) -> dict[str, str]:
        return dict(getattr(self.view, "permits", {}))

    @property
    def handled(self) -> set[str]:
        """The methods that the view answers with a method of its own."""
        return {method for method in METHODS if hasattr(self.view, method.lower())}

    @property
    def is_interface(self) -> bool:
        return self.pattern.startswith("api/v1/")


def routes() -> Iterator[Route]:
    yield from _below(get_resolver().url_patterns, "", "/")


def _below(patterns: list[URLPattern | URLResolver], before: str, path: str) -> Iterator[Route]:
    for pattern in patterns:
        here, there = before + str(pattern.pattern), path + _sample(pattern)
        if isinstance(pattern, URLResolver):
            yield from _below(pattern.url_patterns, here, there)
        else:
            yield Route(here, getattr(pattern.callback, "view_class", pattern.callback), there)


def _sample(pattern: URLPattern | URLResolver) -> str:
    def fill(match: re.Match[str]) -> str:
        converter = pattern.pattern.converters[match[1].rpartition(":")[2]]
        return next(sample for sample in SAMPLES if re.fullmatch(converter.regex, sample))

    return re.sub(r"<([^>]+)>", fill, str(pattern.pattern))
