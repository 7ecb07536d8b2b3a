"""Limits on how often one account may ask, or somebody may try to log in, counted in the shared cache."""

import math
import time

from django.conf import settings
from django.core.cache import cache
from django.core.exceptions import ImproperlyConfigured


def seconds_to_wait(key: str, *, per_second: float, burst: int) -> float:
    """Count one request and return 0, or return how long to wait, in seconds, when it is one too many.

    A generic cell rate algorithm: the cache holds the instant at which the account's allowance is full again.
    """
    if per_second <= 0 or burst < 1:
        raise ImproperlyConfigured("A rate limit needs a positive rate and a burst of at least one.")
    now = time.time()
    full_again = max(float(cache.get(key, now)), now) + 1 / per_second
    over = full_again - now - burst / per_second
    if over > 1e-9:
        return over
    cache.set(key, full_again, timeout=math.ceil(burst / per_second) + 1)
    return 0.0


def seconds_to_wait_for_login(username: str, address: str) -> float:
    """Count one log-in of this name from this address; return 0 or how long to wait, in seconds."""
    per_minute = int(settings.LIMITS["logins_per_minute"])
    key = f"login:{address}:{username.casefold()}".encode().hex()[:200]
    return seconds_to_wait(key, per_second=per_minute / 60, burst=per_minute)
