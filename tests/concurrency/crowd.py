"""Processes of their own on the real test database, started together and waited for; only the rows are shared."""

import os
import subprocess
import sys
import textwrap
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BY_THEN_S = 180.0
"""A deadline and not an expectation. [s]"""

START = """
import sys
import django
django.setup()
from django.conf import settings
settings.CELERY_BROKER_URL = "memory://"
sys.stdout.write("here\\n"); sys.stdout.flush(); sys.stdin.readline()
"""


def start(script: str, database_url: str, data_dir: Path, *arguments: str) -> subprocess.Popen[str]:
    """Start a process that has loaded everything and waits for ``go``."""
    environment = os.environ | {
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "DATABASE_URL": database_url,
        "DATA_DIR": str(data_dir),
        "SECRET_KEY": "only for tests",
    }
    process = subprocess.Popen(
        [sys.executable, "-c", START + textwrap.dedent(script), *arguments],
        cwd=ROOT,
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "here\n", process.communicate()[1]
    return process


def go(*processes: subprocess.Popen[str]) -> None:
    """Let them begin, all at once."""
    for process in processes:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()


def done(process: subprocess.Popen[str]) -> str:
    """Wait for the end of one and return what it wrote; a process that failed fails the test with its words."""
    out, complaint = process.communicate(timeout=BY_THEN_S)
    assert process.returncode == 0, complaint
    return out
