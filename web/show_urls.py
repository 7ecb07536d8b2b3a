"""Addresses of the pages about shows: events, bookings, venues, what is free, time."""

from django.urls import path

from inventory.base import addresses  # noqa: F401 - it registers the converter "row"
from web.views import time, venues
from web.views.bookings import one as one_booking
from web.views.bookings import ordering as booking_form
from web.views.bookings import page as booking
from web.views.bookings import pencils, stand_in, swap
from web.views.events import editing as event_edit
from web.views.events import listing as events
from web.views.events import page as event
from web.views.events import states as event_states
from web.views.free import page as free

urlpatterns = [
    path("events/", events.EventListPage.as_view()),
    path("events/<row:event_id>/", event.EventPage.as_view()),
    path("events/<row:event_id>/short/", event.ShortPage.as_view()),
    path("events/<row:event_id>/edit/", event_edit.EventEditPage.as_view()),
    path("events/<row:event_id>/confirm/", event_states.ConfirmEventPage.as_view()),
    path("events/<row:event_id>/close/", event_states.CloseEventPage.as_view()),
    path("events/<row:event_id>/cancel/", event_states.CancelEventPage.as_view()),
    path("events/<row:event_id>/copy/", event_states.CopyEventPage.as_view()),
    path("events/<row:event_id>/bookings/", booking_form.BookPage.as_view()),
    path("bookings/<row:booking_id>/", one_booking.OneBookingPage.as_view()),
    path("bookings/<row:booking_id>/keep/", pencils.KeepPage.as_view()),
    path("bookings/<row:booking_id>/challenge/", pencils.ChallengePage.as_view()),
    path("bookings/<row:booking_id>/rank/", pencils.RankPage.as_view()),
    path("bookings/<row:booking_id>/loosen/", pencils.LoosenPage.as_view()),
    path("bookings/<row:booking_id>/swap/", swap.SwapPage.as_view()),
    path("bookings/<row:booking_id>/follow/", swap.FollowPage.as_view()),
    path("bookings/<row:booking_id>/confirm/", booking.ConfirmPage.as_view()),
    path("bookings/<row:booking_id>/extend/", booking.ExtendPage.as_view()),
    path("bookings/<row:booking_id>/cancel/", booking.CancelPage.as_view()),
    path("bookings/<row:booking_id>/stand-in/", stand_in.StandInPage.as_view()),
    path("venues/", venues.VenueListPage.as_view()),
    path("venues/new/", venues.NewVenuePage.as_view()),
    path("venues/<row:venue_id>/", venues.VenuePage.as_view()),
    path("venues/<row:venue_id>/edit/", venues.EditVenuePage.as_view()),
    path("venues/<row:venue_id>/circuits/new/", venues.NewCircuitPage.as_view()),
    path("venues/<row:venue_id>/circuits/<row:circuit_id>/", venues.EditCircuitPage.as_view()),
    path("venues/<row:venue_id>/circuits/<row:circuit_id>/remove/", venues.RemoveCircuitPage.as_view()),
    path("free/", free.FreePage.as_view()),
    path("time/", time.TimePage.as_view()),
]
