"""The limit on requests as REST framework asks for it."""

from typing import TYPE_CHECKING

from django.conf import settings
from rest_framework.request import Request
from rest_framework.throttling import BaseThrottle

from inventory.base.rates import seconds_to_wait

if TYPE_CHECKING:
    from rest_framework.views import APIView


class AccountThrottle(BaseThrottle):
    """``RATE_PER_S`` requests a second for each account, with a burst of ``RATE_BURST``."""

    def __init__(self) -> None:
        self._wait = 0.0

    def allow_request(self, request: Request, view: "APIView") -> bool:
        if request.user.pk is None:
            return True
        self._wait = seconds_to_wait(
            f"rate:{request.user.pk}",
            per_second=settings.LIMITS["rate_per_s"],
            burst=int(settings.LIMITS["rate_burst"]),
        )
        return self._wait == 0.0

    def wait(self) -> float:
        return self._wait
