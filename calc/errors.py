"""What calc raises when it is asked something that has no answer."""

from collections.abc import Hashable, Iterable, Mapping
from math import isfinite
from typing import TypeGuard, TypeVar

LARGEST_NUMBER = 1e60
"""Far above every quantity there is, and small enough that the product of a few numbers stays finite."""

LEAST_ABOVE_ZERO = 1e-60
"""What must be above zero must be so by this much: what is divided by it stays finite too."""

Item = TypeVar("Item")


class CalcError(ValueError):
    """Base of everything that calc raises on purpose."""


class BadInput(CalcError):  # noqa: N818 - the name is part of the published interface
    """An argument that no physical thing and no standard has.

    Carries the argument's name, the value that was given and the accepted range in words.
    """

    def __init__(self, argument: str, value: object, accepted: str) -> None:
        super().__init__(f"{argument}={value!r} is not usable: {accepted}.")
        self.argument = argument
        self.value = value
        self.accepted = accepted


def require_number(
    argument: str, value: float, *, above: float | None = None, least: float | None = None, most: float | None = None
) -> float:
    """Return ``value`` if it is a finite real number within the bounds, else raise ``BadInput``.

    Args:
        argument: Name of the argument, with its unit, as the caller wrote it.
        value: The number to look at.
        above: The value must be greater than this.
        least: The value must not be less than this.
        most: The value must not be greater than this.

    Raises:
        BadInput: not a number, not finite, beyond ``LARGEST_NUMBER``, nearer to a bound of "above 0" than
            ``LEAST_ABOVE_ZERO``, or outside the bounds.
    """
    finite = is_finite_number(value)
    if finite and abs(value) > LARGEST_NUMBER:
        raise BadInput(argument, value, f"{_range_in_words(above, least, most)}, no larger than {LARGEST_NUMBER:g}")
    if finite and above == 0 and 0 < value < LEAST_ABOVE_ZERO:
        raise BadInput(argument, value, f"{_range_in_words(above, least, most)}, no smaller than {LEAST_ABOVE_ZERO:g}")
    if (
        not finite
        or (above is not None and not value > above)
        or (least is not None and not value >= least)
        or (most is not None and not value <= most)
    ):
        raise BadInput(argument, value, _range_in_words(above, least, most))
    return value


def is_finite_number(value: object) -> TypeGuard[float]:
    """Return whether ``value`` is a real number that calculation can hold; ``True`` is none."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return False
    try:
        return isfinite(value)
    except OverflowError:  # a whole number beyond the largest floating-point one
        return False


def require_whole(argument: str, value: int, *, least: int | None = None, most: int | None = None) -> int:
    """Return ``value`` if it is a whole number within the bounds, else raise ``BadInput``."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise BadInput(argument, value, "a whole number" + _bounds_in_words(None, least, most))
    require_number(argument, value, least=least, most=most)
    return value


def require_one_of(argument: str, value: object, accepted: tuple[object, ...]) -> None:
    """Raise ``BadInput`` unless ``value`` is one of ``accepted`` (and of the same type: ``True`` is not ``1``)."""
    for item in accepted:
        if value == item and type(value) is type(item):
            return
    raise BadInput(argument, value, "one of " + ", ".join(repr(item) for item in accepted))


def require_kind(argument: str, value: Item, kind: type[Item]) -> Item:
    """Return ``value`` if it is a ``kind``, else raise ``BadInput``."""
    if not isinstance(value, kind):
        raise BadInput(argument, value, f"a {kind.__name__}")
    return value


def require_list(argument: str, value: Iterable[Item]) -> list[Item]:
    """Return the items of ``value`` as a list, else raise ``BadInput``.

    A text, bytes or a mapping is one thing and no list of things, although Python can walk along it.
    """
    if isinstance(value, (str, bytes, Mapping, type)) or not isinstance(value, Iterable):
        raise BadInput(argument, value, "a list")
    return list(value)


def require_items(argument: str, value: Iterable[Item], kind: type[Item]) -> list[Item]:
    """Return the items of ``value`` as a list if each is a ``kind``, else raise ``BadInput``."""
    items = require_list(argument, value)
    for place, item in enumerate(items):
        if not isinstance(item, kind):
            raise BadInput(f"{argument}[{place}]", item, f"a {kind.__name__}")
    return items


def require_hashable(argument: str, value: Hashable) -> None:
    """Raise ``BadInput`` unless ``value`` can be looked up among others: a text or a number can, a list cannot."""
    try:
        hash(value)
    except TypeError as error:
        raise BadInput(argument, value, "a text, a number or something else that does not change") from error


def _range_in_words(above: float | None, least: float | None, most: float | None) -> str:
    return "a finite number" + _bounds_in_words(above, least, most)


def _bounds_in_words(above: float | None, least: float | None, most: float | None) -> str:
    bounds = []
    if above is not None:
        bounds.append(f"above {above:g}")
    if least is not None:
        bounds.append(f"at least {least:g}")
    if most is not None:
        bounds.append(f"at most {most:g}")
    return " " + " and ".join(bounds) if bounds else ""
