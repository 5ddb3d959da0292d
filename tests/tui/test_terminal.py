"""Whatever happens to the program, the terminal is given back; whatever a text holds, the terminal
obeys none of it."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys

import pytest

from tests.tui.terminal import ROOT, Terminal, small_site_at_a_terminal

pytestmark = pytest.mark.skipif(os.name == "nt", reason="terminals are those of POSIX")


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_who_ends_the_program_from_outside_gets_the_terminal_back(number: int) -> None:
    terminal = small_site_at_a_terminal()
    terminal.read_text("2 cranes")
    os.kill(terminal.child, number)

    assert terminal.end() == 128 + number
    assert terminal.gave_back()
    assert b"Traceback" not in terminal.seen


def test_a_connection_that_breaks_leaves_no_program_behind() -> None:
    terminal = small_site_at_a_terminal()
    terminal.read_text("2 cranes")
    terminal.hang_up()

    assert terminal.end() == 128 + signal.SIGHUP


def test_a_program_that_is_stopped_and_continued_goes_on() -> None:
    terminal = small_site_at_a_terminal()
    terminal.read_text("2 cranes")
    os.kill(terminal.child, signal.SIGTSTP)
    os.waitpid(terminal.child, os.WUNTRACED)
    stopped = terminal.read_quiet()

    assert b"\x1b[?1049l" in stopped
    os.kill(terminal.child, signal.SIGCONT)
    terminal.read_text("2 cranes")
    terminal.press("q")

    assert terminal.end() == 0
    assert terminal.gave_back()


def test_the_smallest_terminal_will_do() -> None:
    terminal = small_site_at_a_terminal(size=(20, 5))
    terminal.read_text("help")
    for key in ("down", "enter", "e", "escape", "k", "escape", "n", "escape"):
        terminal.press(key)
        terminal.read_quiet()
    terminal.press("q")

    assert terminal.end() == 0
    assert b"mistake" not in terminal.seen


@pytest.mark.parametrize(
    "environment", [{"TERM": "vt100"}, {"LANG": "C", "LC_ALL": "C"}, {"TERM": "", "NO_COLOR": "1"}]
)
def test_a_poor_terminal_will_do(environment: dict[str, str]) -> None:
    terminal = small_site_at_a_terminal(environment)
    terminal.read_text("2 cranes")
    terminal.press("q")

    assert terminal.end() == 0
    assert b"Traceback" not in terminal.seen


def test_without_a_terminal_the_screens_refuse_in_one_sentence() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "parts.cli"],
        cwd=ROOT,
        capture_output=True,
        stdin=subprocess.DEVNULL,
        text=True,
        check=False,
    )

    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "need a terminal" in done.stderr


def test_a_terminal_that_obeys_nothing_is_refused_in_one_sentence() -> None:
    terminal = Terminal("from parts.cli import main; raise SystemExit(main([]))", {"TERM": "dumb"})

    assert terminal.end() == 2
    assert b"need a terminal" in terminal.seen
    assert b"\x1b" not in terminal.seen


def test_nothing_listens_while_the_program_runs() -> None:
    terminal = small_site_at_a_terminal()
    terminal.read_text("2 cranes")
    own = {
        os.readlink(entry.path).partition("[")[2].rstrip("]")
        for entry in os.scandir(f"/proc/{terminal.child}/fd")
        if os.readlink(entry.path).startswith("socket:")
    }
    listening = set()
    for kind in ("tcp", "tcp6"):
        with open(f"/proc/net/{kind}", encoding="ascii") as table:
            rows = [line.split() for line in table.readlines()[1:]]
            listening |= {row[9] for row in rows if row[3] == "0A"}
    terminal.press("q")

    assert terminal.end() == 0
    assert own & listening == set()


HOSTILE = """lambda: __import__("tests.tui.test_terminal", fromlist=["x"]).hostile_site()"""
PAYLOAD = (
    "\x1b[2J\x1b[31m\x1b]52;c;cHduZWQ=\x1b\\\x1b]0;PWNED\x07\x1bPq\x1b\\\x9b2J\x9d52;c;aGk=\x9c"
    "\x07\x08\r\n\t\x7f\x00\u202e\u200b\u2066[/][red][@click=app.quit]x[/]"
)
WALK = [
    *("down", "up", "enter", "down", "enter", "?", "escape", "p", "x", "escape", "escape"),
    *("w", "escape", "escape", "x", "escape", "escape", "e", "tab", "escape", "escape"),
    *("k", "down", "escape", "n", "down", "escape", "l", "escape", "d", "escape", "g", "enter"),
    *("escape", "escape", "o", "a", "tab", "tab", "escape", "/", "[", "escape", "escape"),
    *("j", "tab", "escape", "y", "Y", "escape", "b", "tab", "escape", "z", "tab", "escape", "s"),
    *("down", "escape", "m", "escape"),
]
CONTROLS = re.compile(
    rb"\x1b\[[0-9;?<>=]*[ -/]*[@-~]"
    rb"|\x1b[=>78cDEHM]"
    rb"|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)|\x1bP[^\x1b]*\x1b\\"
)
COMMANDS = re.compile("[\x00-\x07\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u200b\u2066-\u2069]")


def hostile_site() -> object:
    """Return the small site with a payload in each of its texts."""
    from parts.records.snapshot import snapshot_of
    from tests.tui.small_site import TODAY, small_book, with_texts

    return snapshot_of(with_texts(small_book(), lambda text: PAYLOAD + text), TODAY)


@pytest.mark.timeout(300)  # some fifty screens are painted in full
def test_no_text_of_a_site_reaches_the_terminal_as_a_command() -> None:
    terminal = small_site_at_a_terminal(read=HOSTILE, size=(200, 50))
    terminal.read_text("2 cranes")
    for key in WALK:
        terminal.press(key)
        terminal.read_quiet(0.2)
    terminal.press("q")
    terminal.end()
    seen = terminal.seen

    assert b"\xe2\x90\x9b[2J" in seen  # shown as a picture of the character
    assert b"\x1b[2J\x1b[31m" not in seen
    assert b"PWNED\x07" not in seen
    assert b"\x1bPq" not in seen
    clipboard = re.findall(rb"\x1b\]52;c;([^\x07\x1b]*)", seen)
    assert b"cHduZWQ=" not in clipboard
    assert len(clipboard) <= 1  # of the one key that copies a row
    rest = CONTROLS.sub(b"", seen).decode("utf-8", "replace")
    assert "A mistake in the program" not in rest
    assert not COMMANDS.search(rest)
