"""What a kit is for: written as a whole, its positions and ports looked up under the lock."""

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from calc.errors import BadInput
from inventory.base.errors import FieldProblem, HeldByHistoryError, InvalidError
from inventory.brief_document import LISTED, SINGLE, Document, brief_from, document_of, positions_named
from inventory.models import Kit, Position, Unit
from inventory.services.links import Holes, Reference

MOST_ENTRIES = 200
"""Of each list."""


def brief_for(kit: Kit, asked: Mapping[str, Any] | None) -> Document | None:
    """Return the document that keeps what is asked of a kit; ``asked`` names positions by id or by label.

    Raises:
        InvalidError: a position, port or unit does not exist, or a brief cannot ask that; all are listed.
    """
    if asked is None:
        return None
    holes, problems = Holes.of(kit), list[FieldProblem]()
    document = _looked_up(holes, dict(asked), "brief", problems)
    problems += _unknown_computers(asked)
    problems += _too_many(asked)
    if not problems:
        problems += _impossible(document)
    if problems:
        raise InvalidError("Some of the brief cannot be used; each is listed.", errors=problems)
    return document_of(brief_from(document))


def refuse_named(kit: Kit, leaving: Collection[int]) -> None:
    """Raise when positions that are to go are named by the kit's brief.

    Raises:
        HeldByHistoryError: they are.
    """
    named = sorted(positions_named(kit.brief) & set(leaving))
    if named:
        labels = ", ".join(Position.objects.filter(pk__in=named).order_by("sort", "pk").values_list("label", flat=True))
        raise HeldByHistoryError(f"The brief of {kit.name} names {labels}. Change the brief first.", positions=named)


def _looked_up(holes: Holes, value: Any, path: str, problems: list[FieldProblem]) -> Any:
    """Return ``value`` with ids in place of labels; what is not there is added to ``problems``."""
    if isinstance(value, Mapping):
        found = {key: _looked_up(holes, inner, f"{path}.{key}", problems) for key, inner in value.items()}
        if "position" in value:
            found["position"] = _position(holes, value["position"], value.get("port"), path, problems)
        if "positions" in value:
            found["positions"] = [
                _position(holes, reference, None, f"{path}.positions.{place}", problems)
                for place, reference in enumerate(value["positions"])
            ]
        return found
    if isinstance(value, list):
        return [_looked_up(holes, inner, f"{path}.{place}", problems) for place, inner in enumerate(value)]
    return value


def _position(
    holes: Holes, reference: Reference, port: str | None, path: str, problems: list[FieldProblem]
) -> int | None:
    position = holes.position(reference)
    if position is None:
        problems.append(_missing(path, f"The kit has no place {reference}."))
        return None
    if port is not None and port not in holes.ports[position.pk]:
        problems.append(_missing(f"{path}.port", f"{position.label} has no port {port}."))
    return position.pk


def _unknown_computers(asked: Mapping[str, Any]) -> Iterator[FieldProblem]:
    wanted = {unit for controller in asked.get("controllers") or () for unit in controller["computers"]}
    there = set(Unit.objects.filter(pk__in=wanted).values_list("pk", flat=True)) if wanted else set()
    for place, controller in enumerate(asked.get("controllers") or ()):
        for unit in sorted(set(controller["computers"]) - there):
            yield _missing(f"brief.controllers.{place}.computers", f"There is no unit {unit}.")


def _too_many(asked: Mapping[str, Any]) -> Iterator[FieldProblem]:
    for name in LISTED:
        if len(asked.get(name) or ()) > MOST_ENTRIES:
            yield FieldProblem(field=f"brief.{name}", code="invalid", message=f"At most {MOST_ENTRIES} entries.")


def _impossible(document: Mapping[str, Any]) -> Iterator[FieldProblem]:
    """Return what no standard and no physical thing has, part by part."""
    entries = [
        (f"brief.{name}.{place}", LISTED[name], item)
        for name in LISTED
        for place, item in enumerate(document.get(name) or ())
    ]
    entries += [(f"brief.{name}", SINGLE[name], document[name]) for name in SINGLE if document.get(name)]
    rest = {name: value for name, value in document.items() if name not in {*LISTED, *SINGLE}}
    for path, read, item in [*entries, ("brief", brief_from, rest)]:
        try:
            read(item)
        except BadInput as error:
            yield FieldProblem(field=f"{path}.{error.argument}", code="invalid", message=f"Accepted: {error.accepted}.")


def _missing(field: str, message: str) -> FieldProblem:
    return FieldProblem(field=field, code="does-not-exist", message=message)
