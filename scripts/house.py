"""The set-up every script shares: the clone's own .venv, made once and renewed when it is stale.

Knows the standard library only, and nothing of cranes. Invariants: nothing is written outside the
clone; a .venv without its stamp was interrupted half-way, and is made again from nothing.
The file must parse on old Pythons (no `from __future__`, no `:=`), to tell them that they are old.
"""

import hashlib
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NoReturn

if sys.version_info < (3, 11):  # noqa: UP036 - this is the line that tells an older Python
    found = "{}.{}".format(*sys.version_info)
    sys.stderr.write(f"longpole needs Python 3.11 or newer; this is Python {found}.\n")
    sys.exit(2)

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
STAMP = VENV / "longpole-stamp.txt"
SCRATCH = VENV / "tmp"
STATE = VENV / "state"
LOCK = ROOT / "requirements.lock"

MAKE, INSTALL = "make", "install"


class SetUpFailed(Exception):
    """One step of the set-up failed; the message says which, and what to do next."""

    def __init__(self, step: str, next_step: str) -> None:
        super().__init__(f"Set-up failed: could not {step}. {next_step}")


def tool(name: str, venv: Path = VENV, windows: bool = os.name == "nt") -> Path:
    """Where a venv keeps a program."""
    return venv / "Scripts" / f"{name}.exe" if windows else venv / "bin" / name


def place(root: Path = ROOT, version: tuple[int, int] = sys.version_info[:2]) -> str:
    """What a venv is tied to for life: its folder (programs carry it) and its Python."""
    return f"Python {version[0]}.{version[1]} in {root}"


def wants(*files: Path) -> str:
    """One digest of the files that say what belongs into the venv."""
    digest = hashlib.sha256()
    for file in files:
        digest.update(hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest()


def steps_due(stamp: str, place: str, wants: str) -> tuple[str, ...]:
    """What a venv with this stamp (empty: none) still needs."""
    if stamp.splitlines() == [place, wants]:
        return ()
    if stamp.startswith(f"{place}\n"):
        return (INSTALL,)
    return (MAKE, INSTALL)


def environment(outer: Mapping[str, str]) -> dict[str, str]:
    """The caller's environment, with libraries and what we write kept inside the clone."""
    inner = {k: v for k, v in outer.items() if k not in {"PYTHONPATH", "PYTHONHOME"}}
    # RUSTUP_HOME: pip asks a rustc it finds for its version, and that one may write into HOME.
    scratch = dict.fromkeys(("TMPDIR", "TEMP", "TMP", "RUSTUP_HOME"), str(SCRATCH))
    ours = {"LONGPOLE_STATE": str(STATE), "PYTHONNOUSERSITE": "1", "PIP_USER": "0"}
    return inner | scratch | ours


def ensure() -> None:
    """Bring the .venv up to date: a moment when it is, a minute or two the first time."""
    here, wanted = place(), wants(LOCK, ROOT / "pyproject.toml")
    stamp = STAMP.read_text("utf-8") if STAMP.exists() and tool("python").exists() else ""
    steps = steps_due(stamp, here, wanted)
    try:
        if MAKE in steps:
            _make()
        SCRATCH.mkdir(exist_ok=True)
        if INSTALL in steps:
            STAMP.unlink(missing_ok=True)
            try:
                _install()
            except SetUpFailed:
                STAMP.write_text(f"{here}\n", "utf-8")  # pip takes back what it could not finish
                raise
            STAMP.write_text(f"{here}\n{wanted}\n", "utf-8")
    except OSError as fault:
        raise SetUpFailed(f"write into {VENV}", str(fault)) from fault


def hand_over(command: Sequence[str | Path], cwd: Path | None = None) -> int:
    """Run a command on our terminal and return its status; an interrupt is its to answer."""
    outer = signal.signal(signal.SIGINT, lambda *_: None)
    try:
        status = subprocess.call(command, cwd=cwd, env=environment(os.environ))
    finally:
        signal.signal(signal.SIGINT, outer)
    return status if status >= 0 else 128 - status


def script(main: Callable[[list[str]], int]) -> NoReturn:
    """Set up, run a script's main on the arguments given, and end with its status."""
    try:
        ensure()
        status = main(sys.argv[1:])
    except SetUpFailed as failed:
        say(str(failed))
        status = 2
    except KeyboardInterrupt:
        say("Interrupted; run it again to go on.")
        status = 130
    sys.exit(status)


def say(line: str) -> None:
    """Progress and failures go to standard error: standard output belongs to the answer."""
    print(line, file=sys.stderr, flush=True)


def _make() -> None:
    say("Making .venv, once ...")
    if VENV.exists():
        shutil.rmtree(VENV)
    SCRATCH.mkdir(parents=True)
    command = [_outer_python(), "-m", "venv", str(VENV)]
    if _quiet(command).returncode == 0:
        return
    without_pip = _quiet([*command, "--without-pip"])
    if without_pip.returncode:
        raise SetUpFailed(
            "make .venv", f"{_last_line(without_pip)} (Debian, Ubuntu: install python3-venv.)"
        )


def _install() -> None:
    say("Installing the libraries of requirements.lock; this takes a minute or two ...")
    _pip("install the libraries", "--require-hashes", "-r", str(LOCK))
    say("Installing longpole itself ...")
    _pip("install longpole itself", "--no-deps", "--no-build-isolation", "-e", str(ROOT))


def _pip(step: str, *wanted: str) -> None:
    """Install with the venv's pip; where Python came without one, with the pip outside."""
    pip = [str(tool("python")), "-m", "pip"]
    if _quiet([*pip, "--version"]).returncode:
        pip = [_outer_python(), "-m", "pip", "--python", str(tool("python"))]
        if _quiet([*pip, "--version"]).returncode:
            raise SetUpFailed(step, "Install pip 22.3 or newer (Debian, Ubuntu: python3-pip).")
    options = ["--quiet", "--no-input", "--disable-pip-version-check", "--no-cache-dir"]
    command = [*pip, "install", *options, *wanted]
    status = subprocess.call(command, cwd=ROOT, env=environment(os.environ))
    if status:
        raise SetUpFailed(step, f"pip ended with status {status}; its own words are above.")


def _quiet(command: Sequence[str]) -> subprocess.CompletedProcess[str]:
    env = environment(os.environ)
    return subprocess.run(command, env=env, capture_output=True, text=True, check=False)


def _last_line(ended: subprocess.CompletedProcess[str]) -> str:
    return (ended.stdout + ended.stderr).strip().rpartition("\n")[2]


def _outer_python() -> str:
    """The Python outside any venv: we may be run by the very .venv that is to be replaced."""
    return str(getattr(sys, "_base_executable", sys.executable))
