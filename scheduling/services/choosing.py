"""Which units a booking of a number of a spec has: choose one, keep them, let the service choose again."""

from collections.abc import Collection

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Unit
from inventory.services.fetching import row_named
from scheduling.models import Claim
from scheduling.promises.apply import pin_claims, unpin_claims
from scheduling.promises.decide import BOOK
from scheduling.promises.verbs import allocate_bookings
from scheduling.rows import unreleased
from scheduling.services.fetching import own_booking
from scheduling.services.powers import Powers
from scheduling.services.stages import require_verb


def choose(c: Change, booking_id: int, *, unit_id: int, instead_of: int, powers: Powers) -> int:
    """Give a booking a particular unit in place of one that the service chose. Whoever has it is given another one.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, StillOutError: it is cancelled or expired, or its gear is out.
        InvalidError: it was not given ``instead_of`` by the service, or the unit is of another type or is its own.
        ClaimConflictError: the unit is down, or whoever has it cannot be given another one.
    """
    booking = own_booking(c, booking_id, powers)
    require_verb(c, booking, "choose")
    unit = row_named(Unit, unit_id, "unit")
    claims = {claim.unit_id: claim for claim in Claim.objects.filter(unreleased(), booking=booking, dealt=True)}
    if instead_of not in claims:
        raise InvalidError.of_field("instead_of", "The service did not choose that unit for this booking.")
    if unit.spec_id != booking.spec_id:
        raise InvalidError.of_field("unit", f"{unit.tag} is of another type.")
    if unit.pk in claims:
        raise InvalidError.of_field("unit", f"The booking has {unit.tag} already.")
    booking.version += 1
    booking.save()
    claim = claims[instead_of]
    allocate_bookings(c, [booking], BOOK, chosen={claim.pk: unit.pk})
    pin_claims(c, [claim.pk], why="chosen")
    c.record("booking", booking.pk, "choose", booking.event.name, unit=unit.tag)
    return booking.pk


def pin(c: Change, booking_id: int, *, unit_ids: Collection[int] | None = None, why: str = "", powers: Powers) -> int:
    """Keep the units that the service chose for a booking: those that are named, or all of them.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, PencilExpiredError: it is cancelled or expired.
        InvalidError: a unit that the service did not choose for it.
    """
    booking = own_booking(c, booking_id, powers)
    require_verb(c, booking, "pin")
    pin_claims(c, _chosen_by_service(booking.pk, unit_ids), why=why.strip() or "chosen")
    return _pinned(c, booking_id, "pin")


def unpin(c: Change, booking_id: int, *, unit_ids: Collection[int] | None = None, powers: Powers) -> int:
    """Let the service give a booking other units again where that helps somebody else.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, StillOutError: it is cancelled or expired, or its gear is out.
        InvalidError: a unit that the service did not choose for it.
    """
    booking = own_booking(c, booking_id, powers)
    require_verb(c, booking, "unpin")
    unpin_claims(_chosen_by_service(booking.pk, unit_ids))
    return _pinned(c, booking_id, "unpin")


def _chosen_by_service(booking_id: int, unit_ids: Collection[int] | None) -> list[int]:
    claims = dict(Claim.objects.filter(unreleased(), booking=booking_id, dealt=True).values_list("unit_id", "pk"))
    wanted = claims if unit_ids is None else unit_ids
    if strange := [unit for unit in wanted if unit not in claims]:
        raise InvalidError.of_field("units", f"The service did not choose unit {strange[0]} for this booking.")
    return [claims[unit] for unit in wanted]


def _pinned(c: Change, booking_id: int, verb: str) -> int:
    booking = own_booking(c, booking_id, Powers(others=True))
    booking.version += 1
    booking.save()
    c.touch("booking", booking.pk)
    c.record("booking", booking.pk, verb, booking.event.name)
    return booking.pk
