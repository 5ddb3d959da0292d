"""Opening a database never lets go of the locks of a writer in the same process.

POSIX locks belong to a process, and closing any handle of a file drops them all
(https://www.sqlite.org/howtocorrupt.html, "Posix advisory locks canceled by a separate thread
doing close()").
"""

from __future__ import annotations

import subprocess
import sys

import pytest

from parts.store.database import Database

WRITE = (
    "import sqlite3, sys\n"
    "connection = sqlite3.connect(sys.argv[1], timeout=0, isolation_level=None)\n"
    "connection.execute('BEGIN IMMEDIATE')\n"
)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows locks belong to handles")
def test_others_stay_locked_out_while_a_second_reader_opens_the_file(where: str) -> None:
    with Database.open(where).writing():
        Database.open(where).close()
        other = subprocess.run(
            [sys.executable, "-c", WRITE, where], capture_output=True, text=True, check=False
        )

        assert "database is locked" in other.stderr
