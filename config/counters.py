"""Counters of the rate limits: shared through Redis, and per process while Redis does not answer."""

import logging
import time
from typing import Any

from django.core.cache.backends.base import DEFAULT_TIMEOUT, BaseCache
from django.core.cache.backends.locmem import LocMemCache
from django.core.cache.backends.redis import RedisCache
from redis.backoff import NoBackoff
from redis.exceptions import RedisError
from redis.retry import Retry

log = logging.getLogger(__name__)

ANSWERS_WITHIN_S = 0.5
PAUSE_S = 10.0
"""How long a Redis that failed is left alone, so that not every request waits for it. [s]"""


class SharedCounters(BaseCache):
    """A request must not fail, nor go unlimited, because Redis is down: each process then counts for itself."""

    def __init__(self, server: str, params: dict[str, Any]) -> None:
        super().__init__(params)
        limits = {"socket_connect_timeout": ANSWERS_WITHIN_S, "socket_timeout": ANSWERS_WITHIN_S}
        self._shared = RedisCache(server, {"OPTIONS": {**limits, "retry": Retry(NoBackoff(), 0)}})
        self._own = LocMemCache("counters", {})
        self._ask_again_at = 0.0

    def add(self, key: Any, value: Any, timeout: Any = DEFAULT_TIMEOUT, version: int | None = None) -> bool:
        return bool(self._ask("add", self.make_key(key, version), value, timeout))

    def get(self, key: Any, default: Any = None, version: int | None = None) -> Any:
        return self._ask("get", self.make_key(key, version), default)

    def set(self, key: Any, value: Any, timeout: Any = DEFAULT_TIMEOUT, version: int | None = None) -> None:
        self._ask("set", self.make_key(key, version), value, timeout)

    def touch(self, key: Any, timeout: Any = DEFAULT_TIMEOUT, version: int | None = None) -> bool:
        return bool(self._ask("touch", self.make_key(key, version), timeout))

    def delete(self, key: Any, version: int | None = None) -> bool:
        return bool(self._ask("delete", self.make_key(key, version)))

    def clear(self) -> None:
        self._ask("clear")

    def _ask(self, verb: str, *arguments: Any) -> Any:
        if time.monotonic() >= self._ask_again_at:
            try:
                return getattr(self._shared, verb)(*arguments)
            except RedisError as error:
                self._ask_again_at = time.monotonic() + PAUSE_S
                log.warning("Redis does not answer, so this process counts for itself for %g s: %s", PAUSE_S, error)
        return getattr(self._own, verb)(*arguments)
