"""Who may do what with events and promises."""

from inventory.base.roles import permit

permit(
    {
        "venue.read": "viewer",
        "venue.edit": "planner",
        "event.read": "viewer",
        "event.edit": "planner",
        "client.read": "crew",
        "booking.read": "viewer",
        "booking.book": "crew",
        "booking.change": "crew",
        "booking.change-others": "planner",
        "booking.accept-shortfalls": "planner",
        "availability.read": "viewer",
    }
)
