"""Rate limits when Redis is there, and when it is not: nobody waits for it twice, and nobody goes uncounted."""

import socket
import uuid
from collections.abc import Iterator

import pytest

from config.counters import SharedCounters
from inventory.base import rates


@pytest.fixture
def refusing() -> str:
    """An address where nobody listens."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return f"redis://127.0.0.1:{one.getsockname()[1]}/0"


@pytest.fixture
def mute() -> Iterator[str]:
    """An address where somebody listens and never answers."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        one.listen()
        yield f"redis://127.0.0.1:{one.getsockname()[1]}/0"


@pytest.mark.parametrize("server", ["refusing", "mute"])
def test_a_process_counts_for_itself_while_redis_does_not_answer(server, request, caplog):
    counters = SharedCounters(request.getfixturevalue(server), {"KEY_PREFIX": uuid.uuid4().hex})
    counters.set("a", 1.5, timeout=60)
    assert counters.get("a") == 1.5
    assert counters.add("b", 1)
    assert not counters.add("b", 1)
    assert counters.touch("b", 60)
    assert counters.delete("a")
    assert counters.get("a", "gone") == "gone"
    assert [record.message[:21] for record in caplog.records] == ["Redis does not answer"]


def test_the_limit_holds_while_redis_does_not_answer(refusing, monkeypatch):
    monkeypatch.setattr(rates, "cache", SharedCounters(refusing, {"KEY_PREFIX": uuid.uuid4().hex}))
    waits = [rates.seconds_to_wait("somebody", per_second=0.001, burst=3) for _ in range(4)]
    assert waits[:3] == [0, 0, 0]
    assert waits[3] > 0
