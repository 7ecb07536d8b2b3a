"""Routes of scheduling, under the base of the interface; ``row`` is the converter that the inventory registers."""

from django.urls import path

from scheduling.api import availability, bookings, events, venues

urlpatterns = [
    path("availability/", availability.AvailabilityView.as_view()),
    path("venues/", venues.VenueListView.as_view()),
    path("venues/<row:venue_id>/", venues.VenueView.as_view()),
    path("events/", events.EventListView.as_view()),
    path("events/<row:event_id>/", events.EventView.as_view()),
    path("events/<row:event_id>/confirm/", events.EventConfirmView.as_view()),
    path("events/<row:event_id>/cancel/", events.EventCancelView.as_view()),
    path("events/<row:event_id>/close/", events.EventCloseView.as_view()),
    path("events/<row:event_id>/bookings/", bookings.EventBookingListView.as_view()),
    path("bookings/", bookings.BookingListView.as_view()),
    path("bookings/<row:booking_id>/", bookings.BookingView.as_view()),
    path("bookings/<row:booking_id>/confirm/", bookings.BookingConfirmView.as_view()),
    path("bookings/<row:booking_id>/cancel/", bookings.BookingCancelView.as_view()),
    path("bookings/<row:booking_id>/extend/", bookings.BookingExtendView.as_view()),
]
