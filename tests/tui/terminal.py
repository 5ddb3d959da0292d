"""The program at a terminal of its own: keys go in, and the bytes that come out are looked at."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
from collections.abc import Callable
from pathlib import Path
from time import monotonic

from rich.cells import cell_len

ROOT = Path(__file__).resolve().parents[2]
LONGEST_WAIT_S = 60
ALT_SCREEN_OFF, CURSOR_ON, MOUSE_OFF = b"\x1b[?1049l", b"\x1b[?25h", b"\x1b[?1000l"
KEYS = {
    "enter": b"\r",
    "escape": b"\x1b",
    "tab": b"\t",
    "down": b"\x1b[B",
    "up": b"\x1b[A",
    "f2": b"\x1bOQ",
}
AT_A_DESK = """
import sys
from tests.tui.small_site import DeskWith, small_site
from tui.app import LongpoleApp
from tui.sentences import CAUTIONS
desk = {desk}
desk.note_read(CAUTIONS)
app = LongpoleApp(desk)
app.run()
sys.exit(app.return_code)
"""


class Painted:
    """What a window of a size shows of the bytes written to it: places, texts, line ends.

    Of all else that a terminal obeys it knows only where it ends.
    """

    PIECES = re.compile(
        rb"\x1b\[(\d+);(\d+)H|(\n)|(\r)|\x1b\[[0-9;?<>=]*[ -/]*[@-~]|\x1b[=>78cDEHM]"
        rb"|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)|\x1bP[^\x1b]*\x1b\\|([^\x00-\x1f\x7f]+)"
    )

    def __init__(self, columns: int, lines: int) -> None:
        self._cells = [[" "] * columns for _ in range(lines)]
        self._x = self._y = 0

    def text(self) -> str:
        """Return what stands in the window."""
        return "\n".join("".join(line).rstrip() for line in self._cells)

    def write(self, written: bytes) -> None:
        """Take bytes as a terminal does."""
        for row, column, feed, back, text in self.PIECES.findall(written):
            if row:
                self._x, self._y = int(column) - 1, int(row) - 1
            elif feed or back:
                self._x, self._y = 0, self._y + bool(feed)
            elif text:
                self._put(text.decode("utf-8", "replace"))

    def _put(self, text: str) -> None:
        for character in text:
            cells = cell_len(character)
            if cells and self._y < len(self._cells) and self._x < len(self._cells[0]):
                self._cells[self._y][self._x : self._x + cells] = [character, *[""] * (cells - 1)]
                self._x += cells


class Terminal:
    """A terminal with one program on it; `seen` is everything that the program wrote."""

    def __init__(
        self, code: str, environment: dict[str, str] | None = None, size: tuple[int, int] = (80, 24)
    ) -> None:
        self.seen = b""
        self.child, self.master = pty.fork()
        if self.child == 0:
            os.chdir(ROOT)
            # not execv: readline, which pytest loads, puts COLUMNS and LINES into the environment
            # behind Python's back, and a program goes by them rather than by its window
            known = {**os.environ, "TERM": "xterm-256color", **(environment or {})}
            known = {name: known[name] for name in known if name not in ("COLUMNS", "LINES")}
            os.execve(sys.executable, [sys.executable, "-c", code], known)  # noqa: S606 - no shell is wanted
        self.resize(*size)

    def resize(self, columns: int, lines: int) -> None:
        """Give the window another size."""
        self._since, self._window = len(self.seen), Painted(columns, lines)
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))
        os.kill(self.child, signal.SIGWINCH)

    def press(self, key: str) -> None:
        """Press one key."""
        os.write(self.master, KEYS.get(key, key.encode()))

    def painted(self) -> str:
        """Return what the window shows of all that was written since it has this size."""
        whole = self.seen.rfind(b"\x1b")  # what follows may still be under way
        if whole > self._since:
            self._window.write(self.seen[self._since : whole])
            self._since = whole
        return self._window.text()

    def read_screen(self, is_there: Callable[[str], bool], what: str) -> str:
        """Read on until the window shows something, reckoned and painted whole; return it."""

        def is_answered(_: bytes = b"") -> bool:
            screen = self.painted()
            return is_there(screen) and "Reckoning" not in screen

        while self.read_quiet(0.05) or not is_answered():
            if not is_answered():
                self.read_until(is_answered, f"{what} on {self.painted()}")
        return self.painted()

    def read_answer(self) -> str:
        """Read on until a key has been answered; return what the window shows then."""
        self.read_until(bool, "an answer")
        return self.read_screen(bool, "an answer")

    def read_until(self, is_there: Callable[[bytes], bool], what: str) -> bytes:
        """Read on until the bytes since now hold something; return those bytes."""
        new, until = b"", monotonic() + LONGEST_WAIT_S
        while not is_there(new):
            left = until - monotonic()
            if left <= 0 or not select.select([self.master], [], [], left)[0]:
                raise TimeoutError(f"{what} never came, only {new[-2000:]!r}")
            new += self._read()
        return new

    def read_text(self, text: str) -> bytes:
        """Read on until a text has been written."""
        return self.read_until(lambda new: text.encode() in new, text)

    def read_quiet(self, seconds: float = 0.15) -> bytes:
        """Read on until nothing comes for a moment."""
        new = b""
        while select.select([self.master], [], [], seconds)[0]:
            found = self._read()
            if not found:
                break
            new += found
        return new

    def _read(self) -> bytes:
        try:
            found = os.read(self.master, 65536)
        except OSError:  # the program has closed its side
            found = b""
        self.seen += found
        return found

    def end(self) -> int:
        """Read what is left and return the status that the program ended with."""
        until = monotonic() + LONGEST_WAIT_S
        while monotonic() < until:
            if self.master >= 0 and select.select([self.master], [], [], 0.01)[0]:
                self._read()
            ended, status = os.waitpid(self.child, os.WNOHANG)
            if ended:
                while self.master >= 0 and select.select([self.master], [], [], 0)[0]:
                    if not self._read():
                        break
                return os.waitstatus_to_exitcode(status)
        os.kill(self.child, signal.SIGKILL)
        os.waitpid(self.child, 0)
        raise TimeoutError(f"it did not end; last it wrote {self.seen[-2000:]!r}")

    def hang_up(self) -> None:
        """Take the terminal away, as a connection that breaks does."""
        os.close(self.master)
        self.master = -1

    def gave_back(self) -> bool:
        """Return whether the last things written give the terminal back."""
        tail = self.seen[-3000:]
        return all(each in tail for each in (ALT_SCREEN_OFF, CURSOR_ON, MOUSE_OFF))


def small_site_at_a_terminal(
    environment: dict[str, str] | None = None,
    *,
    read: str = "small_site",
    size: tuple[int, int] = (80, 24),
) -> Terminal:
    """Start the program on the small site, or on what a piece of code reads."""
    return desk_at_a_terminal(f"DeskWith({read})", environment, size=size)


def desk_at_a_terminal(
    desk: str, environment: dict[str, str] | None = None, *, size: tuple[int, int] = (80, 24)
) -> Terminal:
    """Start the program at the desk that a piece of code makes."""
    return Terminal(AT_A_DESK.format(desk=desk), environment, size)
