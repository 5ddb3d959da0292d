"""Whatever happens to the program, the terminal is given back; whatever a text holds, the terminal
obeys none of it."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from functools import partial
from pathlib import Path

import pytest

from tests.tui.terminal import ROOT, Terminal, desk_at_a_terminal, small_site_at_a_terminal

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
    terminal.read_screen(lambda screen: "2 cranes" in screen, "the fleet")
    terminal.press("down")  # the list is below what five lines show
    terminal.press("enter")
    terminal.read_screen(lambda screen: "Position" in screen, "the crane")
    for key, told in (("e", "of the time"), ("k", "longpole › ri"), ("n", "longpole › fi")):
        terminal.press(key)
        terminal.read_screen(partial(is_at, f"…{told}"), told)
        terminal.press("escape")
        terminal.read_screen(lambda screen: "Position" in screen, "the crane again")
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


def is_whole(screen: str) -> bool:
    """Return whether a screen of the fleet has its top and its foot."""
    first, *_, last = screen.splitlines()
    return first.startswith(" longpole › fleet") and "? help" in last


def test_a_storm_of_sizes_ends_with_the_last_one_painted_whole() -> None:
    terminal = small_site_at_a_terminal()
    terminal.read_text("2 cranes")
    for number in range(60):
        terminal.resize(20 + number * 7 % 140, 5 + number * 5 % 45)
    terminal.resize(101, 31)
    screen = terminal.read_screen(is_whole, "the last size")
    terminal.press("q")

    assert screen.splitlines()[0].endswith("as known on 2026-11-25")
    assert len(screen.splitlines()[0]) == 100
    assert len(screen.splitlines()) == 31
    assert terminal.end() == 0


def test_a_page_that_was_covered_has_the_new_size_too() -> None:
    terminal = small_site_at_a_terminal()
    terminal.read_text("2 cranes")
    terminal.press("k")
    terminal.read_screen(lambda screen: "longpole › risks" in screen, "risks")
    terminal.resize(120, 40)
    terminal.read_screen(lambda screen: "longpole › risks" in screen, "risks anew")
    terminal.press("escape")
    screen = terminal.read_screen(is_whole, "the fleet")
    terminal.press("q")

    assert len(screen.splitlines()[0]) == 119
    assert terminal.end() == 0


def test_the_size_of_the_window_counts_and_not_what_a_shell_exports() -> None:
    code = "from datetime import date; from tui.app import run; run('none.db', date(2026, 11, 25))"
    terminal = Terminal(code, {"COLUMNS": "80", "LINES": "24"}, (100, 30))
    terminal.read_screen(lambda screen: "q quit" in screen.splitlines()[-1], "the cautions")
    terminal.resize(120, 40)
    terminal.read_screen(lambda screen: "q quit" in screen.splitlines()[-1], "the larger window")
    terminal.press("q")

    assert terminal.end() == 0


HOSTILE = """__import__("tests.tui.test_terminal", fromlist=["x"]).hostile_desk({path!r})"""
PAYLOAD = (
    "\x1b[2J\x1b[31m\x1b]52;c;cHduZWQ=\x1b\\\x1b]0;PWNED\x07\x1bPq\x1b\\\x9b2J\x9d52;c;aGk=\x9c"
    "\x07\x08\r\n\t\x7f\u202e\u200b\u2066[/][red][@click=app.quit]x[/]"
)
PASTED = f"\x1b[200~{PAYLOAD}\x1b[201~"
WALK: list[tuple[str, str]] = [
    *(("down", ""), ("up", ""), ("enter", "HM-1"), ("down", ""), ("enter", "pinion")),
    *(("?", "help"), ("escape", "pinion"), ("p", "PIN-7"), ("x", "explained"), ("escape", "PIN-7")),
    *(("escape", "pinion"), ("w", "all positions"), ("escape", ""), ("escape", "pinion")),
    *(("x", "explained"), ("escape", "pinion"), ("escape", "HM-1"), ("e", "a year"), ("tab", "")),
    *(("escape", "HM-1"), ("h", "hangs on"), ("escape", "HM-1"), ("escape", "fleet")),
    *(("k", "risks"), ("down", ""), ("escape", "fleet"), ("n", "findings"), ("escape", "fleet")),
    *(("l", "watch list"), ("escape", "fleet"), ("d", "duty"), ("escape", "fleet")),
    *(("g", "last days"), ("escape", "fleet"), ("o", "what to order"), ("a", "")),
    *(("tab", "late orders"), ("escape", "fleet"), ("/", "find"), ("[", ""), ("escape", "")),
    *(("escape", "fleet"), ("j", "storeroom"), ("tab", "maintenance"), ("escape", "fleet")),
    *(("y", ""), ("b", "plan"), ("escape", "fleet"), ("z", "pictures"), ("tab", "")),
    *(("escape", "fleet"), ("i", "what if"), ("escape", "fleet"), ("s", "first steps")),
    *(("escape", "fleet"), ("m", "move stock"), ("enter", "issue"), (PASTED, "…PWNED^")),
    *(
        ("f2", "…must not be blank"),
        ("escape", "…throw it away"),
        ("t", "fleet"),
        ("v", "records"),
        ("enter", "cranes"),
        ("enter", "crane "),
    ),
    *(("escape", "cranes"), ("escape", "records"), ("escape", "fleet")),
]
"""Keys, each with how the last word of the top line begins then, or after "…" what is shown then;
"" where something else changes.
"""
CONTROLS = re.compile(
    rb"\x1b\[[0-9;?<>=]*[ -/]*[@-~]"
    rb"|\x1b[=>78cDEHM]"
    rb"|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)|\x1bP[^\x1b]*\x1b\\"
)
COMMANDS = re.compile("[\x00-\x07\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u200b\u2066-\u2069]")


def hostile_desk(path: str) -> object:
    """Return a desk at the small site with a payload behind each of its texts."""
    from tests.tui.small_site import written_desk

    return written_desk(Path(path), lambda text: text + PAYLOAD)


def is_at(place: str, screen: str) -> bool:
    """Return whether a screen is the place that its top line ends with, or shows something."""
    top = screen.splitlines()[0].split(" › ")[-1]
    return place[1:] in screen if place.startswith("…") else top.startswith(place)


@pytest.mark.timeout(300)  # some sixty screens are painted in full
def test_no_text_of_a_site_reaches_the_terminal_as_a_command(tmp_path: Path) -> None:
    code = HOSTILE.format(path=str(tmp_path / "site.db"))
    terminal = desk_at_a_terminal(code, size=(360, 40))
    terminal.read_text("2 cranes")
    for key, told in WALK:
        terminal.press(key)
        if told:
            terminal.read_screen(partial(is_at, told), told)
        else:
            terminal.read_answer()
    terminal.press("q")

    assert terminal.end() == 0
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
