"""What calc raises when it is asked something that has no answer."""

from math import isfinite


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
        BadInput: not a number, not finite, or outside the bounds.
    """
    is_number = not isinstance(value, bool) and isinstance(value, (int, float)) and isfinite(value)
    if (
        not is_number
        or (above is not None and not value > above)
        or (least is not None and not value >= least)
        or (most is not None and not value <= most)
    ):
        raise BadInput(argument, value, _range_in_words(above, least, most))
    return value


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
