"""Our first screen against the smallest program of the same framework, in a real terminal.

    python scripts/bench_paint.py [DATABASE]        with one, also until its figures are shown

Time runs from the start of the process to the first byte of the text waited for; the best of five
runs each, one after the other in turn, so that both see the same machine. Whoever starts ours has
read the cautions.
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import tempfile
import termios
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tui.desk import Desk
from tui.sentences import CAUTIONS

ROOT = Path(__file__).resolve().parent.parent
RUNS = 5
LONGEST_WAIT_S = 30.0
SMALLEST = """
from textual.app import App
from textual.widgets import Static
class Smallest(App):
    def compose(self):
        yield Static("first paint")
Smallest().run()
"""
OURS = "import datetime; from tui.app import run; run({!r}, datetime.date(2026, 11, 25))"


def seconds_until(code: str, text: bytes) -> float:
    """Return the seconds from starting a program at a terminal of its own to a text on it."""
    started = perf_counter()
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(ROOT)
        os.execv(sys.executable, [sys.executable, "-c", code])  # noqa: S606 - no shell is wanted
    try:
        fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        return _read_until(terminal, text, started)
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(terminal)


def _read_until(terminal: int, text: bytes, started: float) -> float:
    seen = b""
    while text not in seen:
        left = started + LONGEST_WAIT_S - perf_counter()
        if not select.select([terminal], [], [], max(0.0, left))[0]:
            raise TimeoutError(f"{text!r} was not painted within {LONGEST_WAIT_S:g} s")
        seen += os.read(terminal, 65536)
    return perf_counter() - started


def main(arguments: Sequence[str]) -> None:
    """Print the seconds of each program and how many times the smallest one ours takes."""
    database = arguments[0] if arguments else "no such database"
    cases = {
        "smallest": (SMALLEST, b"first paint"),
        "ours": (OURS.format(database), b"Reading the site"),
    }
    if arguments:
        cases["ours, with figures"] = (OURS.format(database), b"Longest")
    best = dict.fromkeys(cases, LONGEST_WAIT_S)
    with tempfile.TemporaryDirectory() as folder:
        os.environ["LONGPOLE_STATE"] = folder
        Desk(database, date(2026, 11, 25)).note_read(CAUTIONS)
        for _ in range(RUNS):
            for name, (code, text) in cases.items():
                best[name] = min(best[name], seconds_until(code, text))
    for name, seconds in best.items():
        print(f"{name:18} {seconds:6.2f} s  {seconds / best['smallest']:5.2f}x")


if __name__ == "__main__":
    main(sys.argv[1:])
