"""``/bookings/{id}/…/``: the verbs of one booking; ``scheduling.verbs`` says at which stage each may be used."""

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.base.api.fields import IdField, InstantField, TextField
from inventory.base.api.schema import described
from inventory.base.api.serializers import EmptyInput, StrictSerializer
from inventory.base.api.views import ResourceView
from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.services.fetching import row_at
from scheduling.api.bodies import AcceptanceInput, NeverLeftInput
from scheduling.api.bookings import shown_with_consequences
from scheduling.models import Booking, Shortfall
from scheduling.selectors.bookings import ExtendedBookingShape
from scheduling.services import alternatives, bookings, choosing, pencils
from scheduling.services.bumping import Bump, bump_of
from scheduling.services.powers import Powers

MOST_UNITS = 1000


class ExtensionInput(AcceptanceInput):
    starts_at = InstantField(required=False)
    ends_at = InstantField()


class LoosenInput(StrictSerializer):
    expires_at = InstantField(required=False)


class KeepInput(StrictSerializer):
    expires_at = InstantField()


class ChallengeInput(StrictSerializer):
    answer_by = InstantField()


class RankInput(StrictSerializer):
    before = IdField()
    reason = TextField(allow_blank=False)


class SwapInput(StrictSerializer):
    kit = IdField()
    accept_shortfalls = serializers.BooleanField(required=False)


class StandInInput(StrictSerializer):
    shortfall = IdField()
    unit = IdField()
    for_good = serializers.BooleanField(required=False)


class TakeBackInput(StrictSerializer):
    position = IdField()


class FollowInput(StrictSerializer):
    accept_shortfalls = serializers.BooleanField(required=False)


class ChoiceInput(StrictSerializer):
    unit = IdField()
    instead_of = IdField()


class UnpinInput(StrictSerializer):
    units = serializers.ListField(child=IdField(), max_length=MOST_UNITS, allow_null=True, required=False)


class PinInput(UnpinInput):
    why = TextField(max_length=40, required=False)


class BookingVerbView(ResourceView):
    """Base of the verbs: each writes, and answers with the booking and with whoever loses something by it."""

    permits = {"POST": "booking.change"}

    def powers(self) -> Powers:
        return Powers.of(self.user())

    def bump(self, given: dict[str, Any]) -> Bump | None:
        """Take the fields that name who may lose gear off the body, and return what they ask for."""
        return bump_of(given.pop("bump", None), given.pop("reason", None))

    def do(self, booking_id: int, service: Any, **given: Any) -> Response:
        """Run ``service(c, booking_id, **given, powers=…)``."""

        def run(c: Change) -> tuple[Change, int]:
            return c, service(c, booking_id, **given, powers=self.powers())

        return self.write(
            run, lambda done: shown_with_consequences(*done), version=self.version_of(Booking, booking_id)
        )


class BookingConfirmView(BookingVerbView):
    @described(takes=AcceptanceInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        given = AcceptanceInput.read(request.data)
        return self.do(booking_id, bookings.confirm, bump=self.bump(given), **given)


class BookingLoosenView(BookingVerbView):
    @described(takes=LoosenInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        return self.do(booking_id, bookings.loosen, **LoosenInput.read(request.data))


class BookingKeepView(BookingVerbView):
    @described(takes=KeepInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        return self.do(booking_id, pencils.keep_pencil, **KeepInput.read(request.data))


class BookingChallengeView(BookingVerbView):
    @described(takes=ChallengeInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        return self.do(booking_id, pencils.challenge, **ChallengeInput.read(request.data))


class BookingRankView(BookingVerbView):
    permits = {"POST": "booking.change-others"}

    @described(takes=RankInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        return self.do(booking_id, pencils.rank, **RankInput.read(request.data))


class BookingExtendView(BookingVerbView):
    @described(takes=ExtensionInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        given = ExtensionInput.read(request.data)
        return self.do(booking_id, bookings.extend, bump=self.bump(given), **given)


class BookingSwapView(BookingVerbView):
    @described(takes=SwapInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        given = SwapInput.read(request.data)
        return self.do(booking_id, bookings.swap, kit_id=given.pop("kit"), **given)


class BookingStandInView(BookingVerbView):
    permits = {"POST": "booking.change-others"}

    @described(takes=StandInInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        given = StandInInput.read(request.data)

        def use(c: Change, booking_id: int, *, powers: Powers) -> int:
            if not Shortfall.objects.filter(pk=given["shortfall"], booking=row_at(Booking, booking_id)).exists():
                raise InvalidError.of_field("shortfall", "The booking has no such shortfall.")
            for_good = given.get("for_good", False)
            return alternatives.use_alternative(c, given["shortfall"], given["unit"], for_good=for_good, powers=powers)

        return self.do(booking_id, use)


class BookingTakeBackView(BookingVerbView):
    @described(takes=TakeBackInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        given = TakeBackInput.read(request.data)
        return self.do(booking_id, alternatives.end_stand_in, position_id=given["position"])


class BookingFollowView(BookingVerbView):
    @described(takes=FollowInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        return self.do(booking_id, bookings.follow, **FollowInput.read(request.data))


class BookingDealAgainView(BookingVerbView):
    @described(takes=EmptyInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        EmptyInput.read(request.data)
        return self.do(booking_id, alternatives.reallocate)


class BookingChooseView(BookingVerbView):
    @described(takes=ChoiceInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        given = ChoiceInput.read(request.data)
        return self.do(booking_id, choosing.choose, unit_id=given["unit"], instead_of=given["instead_of"])


class BookingPinView(BookingVerbView):
    @described(takes=PinInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        given = PinInput.read(request.data)
        return self.do(booking_id, choosing.pin, unit_ids=given.pop("units", None), **given)


class BookingUnpinView(BookingVerbView):
    @described(takes=UnpinInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        given = UnpinInput.read(request.data)
        return self.do(booking_id, choosing.unpin, unit_ids=given.get("units"))


class BookingCancelView(BookingVerbView):
    @described(takes=NeverLeftInput, gives=ExtendedBookingShape)
    def post(self, request: Request, booking_id: int) -> Response:
        return self.do(booking_id, bookings.cancel, **NeverLeftInput.read(request.data))
