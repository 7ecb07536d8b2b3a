"""The embedded broker: messages as files in one folder, for one machine without Redis.

Kombu's own folder transport lets a reader see a message before it is written whole, which ends the worker (measured: a
worker under a few hundred messages a second died within a second). Here a file gets the name that readers look for only
when it is complete, and the folders make themselves.
"""

import os
import time
import uuid
from pathlib import Path
from queue import Empty
from typing import Any

from kombu.transport import TRANSPORT_ALIASES, filesystem
from kombu.utils.json import dumps, loads

NAME = "folder"
LONGEST_WAIT_S = 0.2


class Channel(filesystem.Channel):
    """One process's access to the folder ``data_folder_in``, which is ``data_folder_out`` as well."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.folder = Path(self.data_folder_in)
        self.control_folder.mkdir(parents=True, exist_ok=True)

    def _put(self, queue: str, payload: Any, **_options: Any) -> None:  # type: ignore[override]  # as in its base
        whole = self.folder / f"{time.time_ns():020}_{uuid.uuid4().hex}.{queue}.msg"
        unfinished = whole.with_suffix(".unfinished")
        unfinished.write_text(dumps(payload))
        unfinished.rename(whole)

    def _get(self, queue: str, timeout: float | None = None) -> Any:
        ending = f".{queue}.msg"
        for name in sorted(name for name in os.listdir(self.folder) if name.endswith(ending)):
            taken = self.folder / f"{name}.taken"
            try:
                taken.with_suffix("").rename(taken)
            except FileNotFoundError:  # another reader was first
                continue
            payload = loads(taken.read_text())
            taken.unlink()
            return payload
        raise Empty

    def _queue_bind(self, exchange: str, routing_key: str, pattern: str, queue: str) -> None:
        table = self._exchange_file(exchange)
        if not table.exists():
            empty = table.with_suffix(f".{uuid.uuid4().hex}")
            empty.write_text("[]")
            try:
                os.link(empty, table)
            except FileExistsError:
                pass  # another process was first; its table stands
            finally:
                empty.unlink()
        super()._queue_bind(exchange, routing_key, pattern, queue)


class Transport(filesystem.Transport):
    Channel = Channel

    def drain_events(self, connection: Any, timeout: float | None = None) -> None:  # type: ignore[override]
        """Wait for a message, but not so long that a worker that is told to stop keeps everybody waiting."""
        super().drain_events(connection, timeout=min(timeout or LONGEST_WAIT_S, LONGEST_WAIT_S))


def register() -> None:
    """Make the transport known as ``folder://``."""
    TRANSPORT_ALIASES[NAME] = f"{__name__}:Transport"
