"""A PostgreSQL server for the tests alone: made in a folder that vanishes, reached over no network.

`postgres.py COMMAND...` runs a command beside one, which finds its address in TEST_PG_URL; where
that is set already, the server it names is used. It syncs nothing to the disk and asks for no
password: nothing that is worth keeping may ever lie on it. A socket's path is short, so the folder
is the system's temporary one.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import house

ADDRESS = "TEST_PG_URL"
NONE_HERE = "No PostgreSQL on this machine: the tests that need a server are left out."
_OWNER = "postgres"  # the user that a package makes for it; the server refuses to run as root
_DEBIAN = Path("/usr/lib/postgresql")
_FOR_TESTS = "-c listen_addresses='' -c fsync=off -c full_page_writes=off"


@contextmanager
def beside_a_server(needed: bool = False) -> Iterator[None]:
    """TEST_PG_URL names a server inside; without PostgreSQL it does not, or that is a failure."""
    programs = None if ADDRESS in os.environ else _programs()
    if programs is not None:
        with _server(programs) as address:
            os.environ[ADDRESS] = address
            try:
                yield
            finally:
                del os.environ[ADDRESS]
        return
    if ADDRESS not in os.environ:
        if needed:
            raise house.SetUpFailed("find PostgreSQL", "Install it (Debian, Ubuntu: postgresql).")
        house.say(NONE_HERE)
    yield


def _programs() -> "Path | None":
    """Where the newest server's programs lie."""
    if os.name == "nt":
        return None
    versions = [path for path in _DEBIAN.glob("*/bin") if path.parent.name.isdigit()]
    if versions:
        return max(versions, key=lambda path: int(path.parent.name))
    found = shutil.which("initdb")
    return Path(found).resolve().parent if found else None


@contextmanager
def _server(programs: Path) -> Iterator[str]:
    folder = Path(tempfile.mkdtemp(prefix="longpole-"))
    try:
        data, run = folder / "data", folder / "run"
        for made in (folder, data, run):
            made.mkdir(exist_ok=True)
            made.chmod(0o755)
            if _is_root():
                shutil.chown(made, _OWNER)
        control: list[str | Path] = [programs / "pg_ctl", "-D", data, "-w", "-t", "30"]
        _do(programs / "initdb", "-D", data, "-U", "postgres", "-A", "trust", "--no-sync",
            "-E", "UTF8", "--locale=C")  # fmt: skip
        _do(*control, "-l", run / "log", "-o", f"-k {run} {_FOR_TESTS}", "start")
        try:
            yield f"postgresql://postgres@/postgres?host={run}"
        finally:
            _do(*control, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _is_root() -> bool:
    return os.geteuid() == 0


def _do(*command: "str | Path") -> None:
    as_owner = ["runuser", "-u", _OWNER, "--"] if _is_root() else []
    quiet = subprocess.DEVNULL
    done = subprocess.run(
        [*as_owner, *command], stdin=quiet, stdout=quiet, stderr=None, check=False, cwd=os.sep
    )
    if done.returncode:
        raise house.SetUpFailed(f"run {Path(command[0]).name}", "Its own words are above.")


def main(arguments: list[str]) -> int:
    """Run a command beside a server, and end with its status."""
    if not arguments:
        house.say("usage: postgres.py COMMAND...")
        return 2
    with beside_a_server(needed=True):
        return house.hand_over(arguments, cwd=house.ROOT)


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except house.SetUpFailed as failed:
        house.say(str(failed))
        sys.exit(2)
