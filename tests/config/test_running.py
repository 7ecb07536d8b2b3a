"""What a running service does: it keeps its folder to itself, and its worker checks what was edited; and the tour of
README.md, run as it is pasted: a real shell, curl, the real service with its worker."""

import json
import re
import subprocess

import pytest

from tests.config.conftest import DEMO_PASSWORD
from tests.config.processes import ROOT, until

pytestmark = [pytest.mark.long(10), pytest.mark.broker]

JSON = {"Content-Type": "application/json"}


def test_a_second_start_on_the_same_folder_is_refused_in_one_line(running, start):
    second = start()
    assert second.ends() == 1
    refusal = second.complained.read_text()
    assert refusal.startswith(f"Already running on DATA_DIR='{running.data_dir}'")
    assert refusal.count("\n") == 1
    assert running.ask("GET", "/health/ready/").status == 200


def test_a_real_worker_checks_a_kit_that_was_edited(running):
    signed = JSON | {"Authorization": f"Token {running.token('planner', DEMO_PASSWORD)}"}
    answer = running.ask("POST", "/api/v1/kits/", json.dumps({"name": "Case for the worker"}).encode(), signed)
    assert answer.status == 201, answer.body
    kit = json.loads(answer.body)["id"]

    def check():
        body = json.loads(running.ask("GET", f"/api/v1/kits/{kit}/check/", headers=signed).body)
        return body if body["state"] in {"done", "failed"} else None

    assert until(check)["state"] == "done"


def the_tour() -> str:
    found = re.search(r"<!-- tour:.*?-->\n```sh\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    assert found, "README.md has no tour"
    return found.group(1)


def test_the_tour_runs_as_pasted_and_shows_what_it_says(running):
    shown = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", the_tour()],
        env={"PATH": "/usr/bin:/bin:/usr/local/bin", "PORT": str(running.port), "DEMO_PASSWORD": DEMO_PASSWORD},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert shown.returncode == 0, shown.stderr
    lines = shown.stdout.splitlines()
    assert lines[0].startswith("stop: ")
    assert "90 W of 65 W" in lines[0]
    assert lines[1] == "nothing-found"
    assert lines[2] == "[('camera 1', 'switch A', '1'), ('camera 2', 'switch A', '2'), ('camera 3', 'switch B', '1')]"
    assert lines[3].startswith("Promised to others or held back at that time: ")
    assert lines[5] == "False"
    assert lines[6].startswith("('held-back', [{'booking': ")
    assert lines[7].startswith("[('held-back', ")
    assert lines[8:] == ["in-service", "[]"]
