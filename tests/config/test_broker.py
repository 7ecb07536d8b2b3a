"""The doorbell: the embedded broker under load, and an edit while there is no broker at all."""

import json
import multiprocessing
import subprocess
import sys
from pathlib import Path

import pytest
from kombu import Connection, Queue

from config import broker
from tests.config.test_counters import mute, refusing

pytestmark = pytest.mark.once  # the embedded broker, and servers that do not answer: whatever else there is

ROOT = Path(__file__).resolve().parents[2]
QUEUE = Queue("bell", routing_key="bell")
WRITERS, MESSAGES = 3, 400

__all__ = ["mute", "refusing"]


def open_folder(folder):
    broker.register()
    options = {"data_folder_in": folder, "data_folder_out": folder, "control_folder": f"{folder}/control"}
    return Connection(f"{broker.NAME}://", transport_options=options | {"polling_interval": 0.001})


def write(folder, writer):
    with open_folder(folder) as connection, connection.Producer() as producer:
        for number in range(MESSAGES):
            producer.publish([writer, number], routing_key="bell", declare=[QUEUE], serializer="json")


def test_a_reader_gets_every_message_whole_and_once_while_others_write(tmp_path):
    folder = str(tmp_path / "broker")
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=write, args=(folder, number)) for number in range(WRITERS)]
    for one in writers:
        one.start()
    received = []

    def take(body, message):
        received.append(body)
        message.ack()

    with open_folder(folder) as connection, connection.Consumer([QUEUE], callbacks=[take]):
        while len(received) < WRITERS * MESSAGES:
            try:
                connection.drain_events(timeout=1)
            except TimeoutError:
                assert any(one.is_alive() for one in writers), f"only {len(received)} came"
    for one in writers:
        one.join()
    assert sorted(received) == [[writer, number] for writer in range(WRITERS) for number in range(MESSAGES)]
    assert [path.name for path in Path(folder).iterdir()] == ["control"]


def test_two_readers_share_the_messages(tmp_path):
    folder = str(tmp_path / "broker")
    write(folder, 0)
    received = {0: [], 1: []}
    with open_folder(folder) as first, open_folder(folder) as second:
        for turn in range(MESSAGES):
            reader = (first, second)[turn % 2]
            received[turn % 2].append(reader.default_channel._get("bell")["body"])
    assert len(set(received[0]) | set(received[1])) == MESSAGES


RINGS = """
import json, time
import django
django.setup()
from django.db import connection, transaction
from inventory.checks.bell import ring
connection.ensure_connection()
took = []
for _ in range(2):
    with transaction.atomic():
        transaction.on_commit(ring, robust=True)
        began = time.monotonic()
    took.append(time.monotonic() - began)
print(json.dumps(took))
"""


@pytest.mark.parametrize("server", ["refusing", "mute"])
def test_a_commit_neither_fails_nor_hangs_when_redis_does_not_answer(server, request, tmp_path):
    """The bound on the whole process is what an edit may wait, ten times over; without limits it would be a minute."""
    run = subprocess.run(
        [sys.executable, "-c", RINGS],
        cwd=ROOT,
        env={
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "SECRET_KEY": "only for tests",
            "DATA_DIR": str(tmp_path),
            "REDIS_URL": request.getfixturevalue(server),
        },
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert run.returncode == 0, run.stderr
    assert len(json.loads(run.stdout)) == 2
