"""Bad files, bad places, full disks, through the commands: status 2, one line, nothing changed."""

from __future__ import annotations

import os
import re
import resource
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from parts.services import books
from parts.store import sqlite_connections
from tests.cli.conftest import TODAY, Said, Say
from tests.faults.disk import Operation, disk
from tests.store.conftest import fill as fill_site
from tests.store.conftest import permissions_count
from tests.store.site_rows import DAY

PNG = b"\x89PNG\r\n\x1a\n" + bytes(200)
COMMANDS = (
    ("outage",),
    ("stock", "COIL"),
    ("issue", "COIL"),
    ("undo", "opening"),
    ("check",),
    ("verify",),
    ("backup", "COPY"),
    ("save", "COPY"),
)
"""Those that need a database that is there."""


def contents(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def refusals(say: Say, at: Path, *commands: tuple[str, ...]) -> set[str]:
    """What commands say of a database that they must refuse, leaving everything as it is."""
    before = contents(at.parent)
    said = [
        say(*(at.parent / "copy" if word == "COPY" else word for word in words), "--db", at)
        for words in commands or COMMANDS
    ]

    assert [(each.status, each.out, each.err.count("\n")) for each in said] == [(2, "", 1)] * len(
        said
    )
    assert contents(at.parent) == before
    return {each.err for each in said}


def test_a_database_that_is_not_there_is_not_made(say: Say, tmp_path: Path) -> None:
    (tmp_path / "a.db").symlink_to(tmp_path / "b.db")
    (tmp_path / "b.db").symlink_to(tmp_path / "a.db")
    for name in ("typo.db", "none/site.db", "a.db"):
        (told,) = refusals(say, tmp_path / name)

        assert "no database at" in told
    (told,) = refusals(say, tmp_path / "a.db", ("load", str(books.demo_folder())), ("demo",))
    assert "its links run in a circle" in told


@pytest.mark.parametrize(
    ("there", "why"),
    [
        (b"", "it is empty"),
        (b"crane,name\nC1,x\n", "it is no database"),
        (b"SQLite format 3\0", "it is no database"),
        (PNG, "it is no database"),
    ],
)
def test_a_file_that_is_no_database_stays_as_it_is(
    say: Say, tmp_path: Path, there: bytes, why: str
) -> None:
    (tmp_path / "site.db").write_bytes(there)
    (told,) = refusals(say, tmp_path / "site.db", *COMMANDS, ("demo",))

    assert why in told


def test_a_folder_and_another_programs_database_are_not_ours(say: Say, tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    with closing(sqlite3.connect(tmp_path / "theirs.db")) as theirs:
        theirs.execute("CREATE TABLE cranes (crane TEXT)")

    assert "it is not a file" in refusals(say, tmp_path / "folder").pop()
    assert "another program made it" in refusals(say, tmp_path / "theirs.db").pop()


def test_a_database_of_a_newer_program_is_left_to_it(say: Say, at: Path) -> None:
    with closing(sqlite3.connect(at)) as newer:
        newer.execute("PRAGMA user_version = 99")

    assert "newer longpole (form 99" in refusals(say, at).pop()


@pytest.mark.parametrize("left", [0.30, 0.60, 0.95])
def test_a_database_that_was_cut_short_is_damaged(say: Say, at: Path, left: float) -> None:
    os.truncate(at, int(at.stat().st_size * left))
    asked = [words for words in COMMANDS if words != ("verify",)]
    told = refusals(say, at, *asked)
    verified = say("verify", "--db", at)

    assert all("is damaged" in each and "latest copy" in each for each in told)
    assert verified.status == 1
    assert "put the latest sound copy back" in verified.out


def test_a_text_that_is_not_utf8_is_named_by_the_check(say: Say, at: Path) -> None:
    with closing(sqlite3.connect(at)) as raw:
        raw.execute("UPDATE parts SET description = CAST(x'ff41' AS TEXT)")
        raw.commit()
    (told,) = refusals(say, at, ("outage",), ("save", "COPY"))
    verified = say("verify", "--db", at)

    assert "not UTF-8" in told
    assert (verified.status, "not UTF-8" in verified.out) == (1, True)


def test_one_bit_that_makes_a_text_bytes_is_named_with_its_column(say: Say, at: Path) -> None:
    """The kind and length of a value stand before the row (www.sqlite.org/fileformat2.html, 2.1):
    13 + 2 n for a text of n bytes, 12 + 2 n for bytes."""
    content = bytearray(at.read_bytes())
    row = content.index(b"-K1/2=relay")
    kinds = content.rindex(bytes([13 + 2 * len("-K1/2"), 13 + 2 * len("=relay")]), 0, row)
    content[kinds + 1] ^= 1
    at.write_bytes(content)
    (told,) = refusals(say, at, ("save", "COPY"), ("outage",))
    verified = say("verify", "--db", at)

    assert "non-TEXT value in parts.description" in told
    assert verified.status == 1
    assert "non-TEXT value in parts.description" in verified.out


@pytest.mark.parametrize(
    ("was", "turned", "why"),
    [
        # SQLite repeats the word in its report, which the driver then cannot read
        (b"CREATE TABLE cranes", b"CREATE T\xa9BLE cranes", "a text in it is not UTF-8"),
        (b"CHECK (length(crane)", b"CHECK (leng4h(crane)", "unknown function: leng4h()"),
    ],
)
def test_a_table_whose_definition_is_damaged_is_damage(
    say: Say, at: Path, was: bytes, turned: bytes, why: str
) -> None:
    assert was in at.read_bytes()
    at.write_bytes(at.read_bytes().replace(was, turned))
    told = refusals(say, at, ("outage",), ("issue", "COIL"), ("backup", "COPY"))
    verified = say("verify", "--db", at)

    assert all(f"is damaged ({why})" in each for each in told)
    assert (verified.status, "is damaged" in verified.out) == (1, True)


def test_a_day_with_one_bit_turned_is_told_in_one_line_wherever_it_lies(
    say: Say, tmp_path: Path
) -> None:
    """In a table it is found on opening; an index, which is read in its place, is not looked at."""
    at = Path(fill_site(str(tmp_path / "site.db")))
    content, day = at.read_bytes(), DAY.isoformat().encode()
    places = [found.start() for found in re.finditer(day, content)]
    told = []
    for place in places:
        turned = bytearray(content)
        turned[place + 5] ^= 0x40  # 02 becomes p2
        at.write_bytes(turned)
        said = say("save", tmp_path / "book", "--db", at)
        told.append(said.err)

        assert (said.status, said.err.count("\n")) in ((0, 0), (2, 1))
        assert said.status == 0 or say("verify", "--db", at).status == 1
    assert any("a value of notices.notice_on is damaged" in each for each in told)


@pytest.mark.parametrize(("file_mode", "folder_mode"), [(0o400, 0o700), (0o600, 0o500)])
def test_what_may_only_be_read_is_read_and_not_written(
    say: Say, at: Path, file_mode: int, folder_mode: int
) -> None:
    at.with_name("store.db-journal").unlink(missing_ok=True)
    at.chmod(file_mode)
    at.parent.chmod(folder_mode)
    try:
        with permissions_count():
            read = say("stock", "COIL", "--db", at)
            told = refusals(say, at, ("issue", "COIL"), ("reserve", "COIL", "--qty=1", "--for=J"))
    finally:
        at.parent.chmod(0o700)

    assert read.status == 0
    assert all("read-only" in each for each in told)


def test_a_database_in_use_is_told_when_the_wait_is_over(
    say: Say, at: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    impatient = ("busy_timeout=1", *sqlite_connections.SETTINGS[1:])
    monkeypatch.setattr(sqlite_connections, "SETTINGS", impatient)
    with closing(sqlite3.connect(at, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        told = refusals(say, at)
        other.execute("ROLLBACK")

    assert all("is in use by another program; nothing was changed" in each for each in told)


def test_the_journal_of_another_database_does_no_harm_in_silence(
    say: Say, at: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other" / "store.db"
    other.parent.mkdir()
    books.load_demo(str(other))
    journals: list[bytes] = []

    def keep(operation: Operation) -> None:
        if operation.kind == "write" and operation.file == "store.db" and not journals:
            journals.append(other.with_name("store.db-journal").read_bytes())

    with disk(keep):
        assert say("issue", "LIN-315", "--db", other, "--today", TODAY).status == 0
    at.with_name("store.db-journal").write_bytes(journals[0])
    said = say("verify", "--db", at)

    assert said.status in (1, 2)
    assert "damaged" in said.out + said.err


# No room


@contextmanager
def files_no_longer_than(size: int) -> Iterator[None]:
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))


def test_a_file_that_may_not_grow_keeps_what_it_has_and_takes_more_later(
    say: Say, at: Path
) -> None:
    issue = ("issue", "COIL", "--key", "k", "--db", at, "--today", TODAY)
    with files_no_longer_than(at.stat().st_size // 50):
        said = say(*issue)

    assert (said.status, said.out, said.err.count("\n")) == (2, "", 1)
    assert "the disk under" in said.err
    assert "with --key 'k' it is done once" in said.err
    assert "3 after" in say(*issue).out
    assert say("verify", "--db", at).status == 0


@pytest.mark.parametrize(
    ("streams", "status", "told"),
    [
        (">/dev/full", 2, "could not be printed (No space left on device)"),
        (">&-", 0, ""),
        ("2>&-", 0, ""),
    ],
)
def test_an_answer_that_finds_no_room_or_no_stream_is_told_in_one_line(
    at: Path, streams: str, status: int, told: str
) -> None:
    """The stock is asked for by a process of its own, with its streams set by a shell."""
    command = f'exec "$0" -m parts.cli stock COIL --db "$1" {streams}'
    said = subprocess.run(
        ["sh", "-c", command, sys.executable, str(at)], check=False, capture_output=True, text=True
    )

    assert said.returncode == status
    assert told in said.stderr
    assert said.stderr.count("\n") == bool(told)
    assert ("COIL" in said.stdout) == (streams == "2>&-")


@pytest.mark.parametrize("words", [("load", "BOOK"), ("demo",), ("backup", "NEW"), ("save", "NEW")])
def test_what_does_not_fit_is_not_there_by_half(
    say: Say, at: Path, tmp_path: Path, words: tuple[str, ...]
) -> None:
    folder = tmp_path / "room"
    folder.mkdir()
    place = {"BOOK": books.demo_folder(), "NEW": folder / "new"}
    database = folder / "new.db" if words[0] in ("load", "demo") else at
    asked = [place.get(word, word) for word in words]
    with files_no_longer_than(40 if words[0] == "save" else 4_096):
        said = say(*asked, "--db", database)

    assert (said.status, said.err.count("\n")) == (2, 1)
    assert str(folder / "new") in said.err
    assert list(folder.iterdir()) == []


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 400 KB, where this machine lets us have one."""
    folder = tmp_path / "small"
    folder.mkdir()
    mounting = ["mount", "-t", "tmpfs", "-o", "size=400k", "tmpfs", str(folder)]
    if subprocess.run(mounting, check=False, capture_output=True).returncode:
        pytest.skip("needs the right to mount a small disk")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def test_a_full_disk_keeps_every_step_it_took_and_goes_on_when_there_is_room(
    say: Say, at: Path, small_disk: Path
) -> None:
    here = small_disk / "store.db"
    here.write_bytes(at.read_bytes())
    ballast = small_disk / "ballast"
    ballast.write_bytes(bytes(8_192))
    taken = 0
    refused: Said | None = None
    while refused is None:
        note = "x" * 9_000
        said = say("receive", "DUMMY", "--qty", "1", "--store", "main", "--certificate", "C",
                   "--note", note, "--key", str(taken), "--db", here)  # fmt: skip
        refused = said if said.status else None
        taken += said.status == 0

    assert (refused.out, refused.err.count("\n")) == ("", 1)
    assert "the disk is full" in refused.err
    assert say("verify", "--db", here).status == 0
    assert say("stock", "DUMMY", "--json", "--db", here).document["stores"][0]["book"] == taken
    ballast.unlink()
    assert say("receive", "DUMMY", "--qty", "1", "--certificate", "C", "--db", here).status == 0
