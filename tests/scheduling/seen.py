"""What the tables say after a step of the state machine: read once, and picked from."""

from django.db.models import Q
from django.utils import timezone

from inventory.models import Position, Unit
from scheduling.models import Booking, Claim, Event, Shortfall
from tests.scheduling.sweep import Sweep


class Seen(Sweep):
    """All rows after a step, read once for all that is asked of them."""

    def __init__(self, now):
        super().__init__(now)
        self.lacks = list(Shortfall.objects.filter(closed_at=None).values())
        self.positions = list(Position.objects.values())

    def live(self):
        for booking in self.bookings.values():
            if booking["state"] == "confirmed" or (booking["state"] == "pencil" and booking["expires_at"] > self.now):
                yield booking

    def claims_of(self, booking):
        return [claim for claim in self.claims if claim["booking_id"] == booking["id"]]

    def lacks_of(self, booking):
        return [lack for lack in self.lacks if lack["booking_id"] == booking["id"]]

    def expansion(self, kit: int) -> tuple[list[int], list[int]]:
        """Return the units in a kit, nested kits included, and its empty required positions."""
        units, empty = [], []
        for position in self.positions:
            if position["kit_id"] != kit:
                continue
            if position["unit_id"] is None:
                empty += [position["id"]] if position["role"] in {"case", "required"} else []
                continue
            units.append(position["unit_id"])
            for inner in self.positions:
                if inner["unit_id"] == position["unit_id"] and inner["role"] == "case" and inner["kit_id"] != kit:
                    inside, inside_empty = self.expansion(inner["kit_id"])
                    units += [unit for unit in inside if unit != position["unit_id"]]
                    empty += inside_empty
        return units, empty

    def needed_units(self, kit: int) -> set[int]:
        """Return the units without which a kit is not booked; the inner kit of this world is required throughout."""
        spare = {row["unit_id"] for row in self.positions if row["kit_id"] == kit and row["role"] == "spare"}
        return set(self.expansion(kit)[0]) - spare


def live():
    standing = Q(state="confirmed") | Q(state="pencil", expires_at__gt=timezone.now())
    return Booking.objects.filter(standing).order_by("pk")


def pencils():
    return live().filter(state="pencil")


def movable_claims():
    return Claim.objects.filter(dealt=True, standing="firm", pinned_at=None)


def claims_out():
    return Claim.objects.filter(standing="firm", starts_at__lte=timezone.now(), booking__state="confirmed")


def promised_by_name():
    return Claim.objects.filter(standing="firm", booking__in=live(), dealt=False, unit__state="in-service")


def open_events():
    return Event.objects.filter(state__in=["enquiry", "confirmed"])


def tables():
    return [list(model.objects.order_by("pk").values()) for model in (Booking, Claim, Shortfall, Event, Unit, Position)]
