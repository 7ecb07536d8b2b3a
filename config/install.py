"""Makes the virtual environment ``.venv`` and installs what a command needs: ``python3 config/install.py demo``.

Runs under the system's Python, before anything is installed; so it imports nothing but the standard library, and is a
script rather than a part of the package. Does nothing when the pinned requirements are the ones installed last.
"""

import fcntl
import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

PROJECT = Path(__file__).resolve().parent.parent
VENV = PROJECT / ".venv"
PYTHON = VENV / "bin" / "python"
MARK = VENV / "installed.json"
SETS = ("base", "server", "dev")  # each holds all that those before it hold
NEEDED = {"demo": "base", "serve": "base", "all": "dev"}
OLDEST = (3, 11)


def main(purpose: str) -> None:
    if sys.version_info < OLDEST:
        sys.exit(f"Python {sys.version.split()[0]} is too old: 3.11 or newer is needed (PYTHON=python3.11 make ...).")
    wanted = NEEDED[purpose]
    if wanted == "base" and os.environ.get("DATABASE_URL", "").startswith("postgres"):
        wanted = "server"
    with (PROJECT / ".install-lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # a second command waits here and then finds everything installed
        if not is_installed(wanted):
            install(wanted)
    if purpose == "all":
        install_browser()


def is_installed(wanted: str) -> bool:
    """Say whether the set, or one that holds it, is the one that its file pins now."""
    if not (PYTHON.exists() and MARK.exists()):
        return False
    marks = json.loads(MARK.read_text())
    return any(marks.get(name) == pins(name) for name in SETS[SETS.index(wanted) :])


def install(wanted: str) -> None:
    print(f"Installing what is needed into {VENV} ...", flush=True)
    if not (PYTHON.exists() and works(str(PYTHON), "-m", "pip", "--version")):
        run(sys.executable, "-m", "venv", "--clear", str(VENV))
    pip = (str(PYTHON), "-m", "pip", "install", "--quiet", "--quiet", "--requirement")
    run(*pip, str(requirements("installer")))
    uv = (str(PYTHON), "-m", "uv", "pip", "install", "--quiet", "--python", str(PYTHON), "--requirement")
    if not works(*uv, str(requirements(wanted))):
        print("uv did not get there (it does not read pip's settings); pip tries, which takes longer ...", flush=True)
        run(*pip, str(requirements(wanted)))
    MARK.write_text(json.dumps({wanted: pins(wanted)}))


def install_browser() -> None:
    """Install the system's Chromium for the browser tests, where this is Debian and we may."""
    if shutil.which("chromium") or os.geteuid() != 0 or not shutil.which("apt-get"):
        return
    print("Installing Chromium ...", flush=True)
    run("apt-get", "update", "--quiet=2")
    run("apt-get", "install", "--yes", "--quiet=2", "--no-install-recommends", "chromium")


def requirements(name: str) -> Path:
    return PROJECT / "requirements" / f"{name}.txt"


def pins(name: str) -> str:
    return hashlib.sha256(requirements(name).read_bytes()).hexdigest()


def works(*command: str) -> bool:
    return subprocess.run(command, cwd=PROJECT, stdout=subprocess.DEVNULL).returncode == 0


def run(*command: str) -> None:
    if subprocess.run(command, cwd=PROJECT).returncode:
        sys.exit(f"This did not work: {' '.join(command)}")


if __name__ == "__main__":
    main(sys.argv[1])
