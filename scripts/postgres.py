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
_FOR_TESTS = "-c listen_addresses='' -c fsync=off -c full_page_writes=off -c deadlock_timeout=20ms"


class Server:
    """One server and its folder; may be stopped as by a pulled plug, and started again."""

    def __init__(self, programs: Path) -> None:
        self._programs = programs
        self._folder = Path(tempfile.mkdtemp(prefix="longpole-"))
        self._data, self._run = self._folder / "data", self._folder / "run"
        self.address = f"postgresql://postgres@/postgres?host={self._run}"
        for made in (self._folder, self._data, self._run):
            made.mkdir(exist_ok=True)
            made.chmod(0o755)
            if _is_root():
                shutil.chown(made, _OWNER)
        self._do("initdb", "-U", "postgres", "-A", "trust", "--no-sync", "-E", "UTF8", "--locale=C")

    def start(self, more: str = "") -> None:
        options = f"-k {self._run} {_FOR_TESTS} {more}"
        self._do("pg_ctl", "-w", "-t", "30", "-l", self._run / "log", "-o", options, "start")

    def stop(self) -> None:
        self._do("pg_ctl", "-w", "-t", "30", "-m", "immediate", "stop")

    def vanish(self) -> None:
        shutil.rmtree(self._folder, ignore_errors=True)

    def _do(self, program: str, *options: "str | Path") -> None:
        as_owner = ["runuser", "-u", _OWNER, "--"] if _is_root() else []
        command = [*as_owner, self._programs / program, "-D", self._data, *options]
        quiet = subprocess.DEVNULL
        done = subprocess.run(command, stdin=quiet, stdout=quiet, check=False, cwd=self._folder)
        if done.returncode:
            raise house.SetUpFailed(f"run {program}", "Its own words are above.")


@contextmanager
def running_server(more: str = "") -> "Iterator[Server | None]":
    """A server that runs, by more of its own options, or none where PostgreSQL is not installed."""
    programs = _programs()
    if programs is None:
        yield None
        return
    server = Server(programs)
    try:
        server.start(more)
        try:
            yield server
        finally:
            server.stop()
    finally:
        server.vanish()


@contextmanager
def beside_a_server(needed: bool = False) -> Iterator[None]:
    """TEST_PG_URL names a server inside; without PostgreSQL it does not, or that is a failure."""
    if ADDRESS in os.environ:
        yield
        return
    with running_server() as server:
        if server is not None:
            os.environ[ADDRESS] = server.address
        elif needed:
            raise house.SetUpFailed("find PostgreSQL", "Install it (Debian, Ubuntu: postgresql).")
        else:
            house.say(NONE_HERE)
        try:
            yield
        finally:
            os.environ.pop(ADDRESS, None)


def _programs() -> "Path | None":
    """Where the newest server's programs lie."""
    if os.name == "nt":
        return None
    versions = [path for path in _DEBIAN.glob("*/bin") if path.parent.name.isdigit()]
    if versions:
        return max(versions, key=lambda path: int(path.parent.name))
    found = shutil.which("initdb")
    return Path(found).resolve().parent if found else None


def _is_root() -> bool:
    return os.geteuid() == 0


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
