"""What has to be in place before the service may start."""

from collections.abc import Sequence
from typing import Any

from django.core.checks import CheckMessage, Error, register

from inventory.base.changes import FOLLOWERS
from scheduling.promises.follow import reallocate_touched


@register()
def promises_follow_every_change(app_configs: Sequence[Any] | None, **kwargs: Any) -> list[CheckMessage]:
    """Without its follower, a fault would leave promises that nobody can keep."""
    if FOLLOWERS.get("promises") is reallocate_touched:
        return []
    return [
        Error(
            "Promises do not follow changes of gear.",
            hint="Call add_follower('promises', scheduling.promises.follow.reallocate_touched) when the app loads.",
            id="scheduling.E001",
        )
    ]
