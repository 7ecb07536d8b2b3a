"""The tour of README.md, run as it is pasted: a real shell, curl, the real service with its worker."""

import re
import subprocess
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.config.processes import Service

pytestmark = [pytest.mark.broker]


def the_tour() -> str:
    from tests.config.processes import ROOT

    found = re.search(r"<!-- tour:.*?-->\n```sh\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    assert found, "README.md has no tour"
    return found.group(1)


def test_the_tour_runs_as_pasted_and_shows_what_it_says(start: "Callable[..., Service]"):
    from tests.config.conftest import DEMO_PASSWORD

    service = start().until_ready()
    shown = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", the_tour()],
        env={"PATH": "/usr/bin:/bin:/usr/local/bin", "PORT": str(service.port), "DEMO_PASSWORD": DEMO_PASSWORD},
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
