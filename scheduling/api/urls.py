"""Routes of scheduling, under the base of the interface; ``row`` is the converter that the inventory registers."""

from django.urls import path

from scheduling.api import availability, booking_verbs, bookings, either_ors, events, venues

urlpatterns = [
    path("availability/", availability.AvailabilityView.as_view()),
    path("venues/", venues.VenueListView.as_view()),
    path("venues/<row:venue_id>/", venues.VenueView.as_view()),
    path("events/", events.EventListView.as_view()),
    path("events/<row:event_id>/", events.EventView.as_view()),
    path("events/<row:event_id>/confirm/", events.EventConfirmView.as_view()),
    path("events/<row:event_id>/cancel/", events.EventCancelView.as_view()),
    path("events/<row:event_id>/close/", events.EventCloseView.as_view()),
    path("events/<row:event_id>/copy/", events.EventCopyView.as_view()),
    path("either-ors/", either_ors.EitherOrListView.as_view()),
    path("either-ors/<row:choice_id>/", either_ors.EitherOrView.as_view()),
    path("events/<row:event_id>/bookings/", bookings.EventBookingListView.as_view()),
    path("bookings/", bookings.BookingListView.as_view()),
    path("bookings/<row:booking_id>/", bookings.BookingView.as_view()),
    *(
        path(f"bookings/<row:booking_id>/{name}/", view.as_view())
        for name, view in (
            ("confirm", booking_verbs.BookingConfirmView),
            ("loosen", booking_verbs.BookingLoosenView),
            ("keep", booking_verbs.BookingKeepView),
            ("challenge", booking_verbs.BookingChallengeView),
            ("rank", booking_verbs.BookingRankView),
            ("extend", booking_verbs.BookingExtendView),
            ("swap", booking_verbs.BookingSwapView),
            ("stand-in", booking_verbs.BookingStandInView),
            ("take-back", booking_verbs.BookingTakeBackView),
            ("follow", booking_verbs.BookingFollowView),
            ("deal-again", booking_verbs.BookingDealAgainView),
            ("choose", booking_verbs.BookingChooseView),
            ("pin", booking_verbs.BookingPinView),
            ("unpin", booking_verbs.BookingUnpinView),
            ("cancel", booking_verbs.BookingCancelView),
        )
    ),
]
