"""The same commands say the same, word for word, whether a file or a server keeps the database."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from parts.records.roles import ROLES
from tests.cli.conftest import TODAY, Said, Say
from tests.servers import Server, empty, name_of, people_at

SECRET = "s3cret"  # noqa: S105 - nobody's
STOREROOM = (
    ("receive", "P1", "--qty", "5", "--store", "A", "--key", "r"),
    ("receive", "P1", "--qty", "5", "--store", "A", "--key", "r"),
    ("receive", "P1", "--qty", "6", "--store", "A", "--key", "r"),
    ("issue", "P1", "--qty", "7", "--key", "short"),
    ("issue", "P1", "--qty", "2", "--key", "i", "--at", "C1/drive", "--failed", "2026-11-20"),
    ("reserve", "P1", "--qty", "9", "--for", "J"),
    ("release", "P1", "--for", "J"),
    ("count", "P1", "--qty", "4", "--key", "c", "--store", "A"),
    ("undo", "i", "--key", "u"),
    ("undo", "i", "--key", "v"),
    ("transfer", "P1", "--qty", "1", "--to-store", "B", "--key", "t"),
    ("stock", "P1", "--all"),
)
QUESTIONS = (
    ("outage", "--json"),
    ("check", "--all"),
    ("verify",),
    ("leadtime", "nonesuch"),
)
Talk = Callable[..., list[Said]]


@pytest.fixture
def talk(say: Say) -> Talk:
    """Give commands to one database, and tell what it said to each of them."""

    def give(address: str, *commands: tuple[str | Path, ...]) -> list[Said]:
        return [
            _plain(say(*words, "--db", address, "--today", TODAY), address) for words in commands
        ]

    return give


def _plain(said: Said, address: str) -> Said:
    """Without what cannot be the same: the place, the clock, the login, the seal over them."""
    unlike = (
        rf"postgresql:\S*{name_of(address)}[^\s;]*" if "://" in address else re.escape(address),
        r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ \S+",
        r"seal \S+",
        r" {2,}",  # a table is as wide as the longest login
    )
    out, err = said.out, said.err
    for pattern in unlike:
        out, err = re.sub(pattern, "…", out), re.sub(pattern, "…", err)
    return Said(said.status, out, err)


def test_questions_are_answered_the_same(
    talk: Talk, demo_database: Path, nothing_on_server: str
) -> None:
    (loaded,) = talk(nothing_on_server, ("demo",))
    answers = talk(nothing_on_server, *QUESTIONS)

    assert loaded.status == 0
    assert answers == talk(str(demo_database), *QUESTIONS)
    assert [said.status for said in answers] == [0, 1, 0, 2]


def test_the_storeroom_is_answered_the_same(
    talk: Talk, book: Path, tmp_path: Path, nothing_on_server: str
) -> None:
    commands = (("outage",), ("load", book), ("demo",), ("load", book), *STOREROOM)
    on_file, on_server = (
        talk(address, *commands) for address in (str(tmp_path / "site.db"), nothing_on_server)
    )

    assert on_server == on_file
    assert [said.status for said in on_server] == [
        2,
        0,
        2,
        0,
        *[0, 0, 2, 2, 0, 0],
        *[0] * 3,
        2,
        0,
        0,
    ]


def test_a_site_book_is_saved_from_both_with_the_same_bytes(
    say: Say, demo_database: Path, tmp_path: Path, nothing_on_server: str
) -> None:
    say("load", _saved(say, str(demo_database), tmp_path / "1"), "--db", nothing_on_server)
    _saved(say, nothing_on_server, tmp_path / "2")

    assert _bytes(tmp_path / "2") == _bytes(tmp_path / "1")
    assert len(_bytes(tmp_path / "1")) > 20


def _saved(say: Say, address: str, folder: Path) -> Path:
    assert say("save", folder, "--db", address).status == 0
    return folder


def _bytes(book: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(book.iterdir())}


def test_a_faulty_book_leaves_the_server_as_it_was(
    say: Say, book: Path, nothing_on_server: str
) -> None:
    say("load", book, "--db", nothing_on_server)
    (book / "needs.csv").write_text("crane,item,needs\nC1,travel,nowhere\n", encoding="utf-8")
    refused = say("load", book, "--db", nothing_on_server)
    (book / "needs.csv").unlink()
    again = say("load", book, "--db", nothing_on_server, "--json")

    assert refused.status == 2
    assert "needs.csv row 2 column needs" in refused.err
    assert again.document["added"] == again.document["updated"] == {}


@pytest.fixture
def keeper(say: Say, server: Server, book: Path, nothing_on_server: str) -> Iterator[str]:
    """The address for somebody of the storeroom, and the roles set up by the command."""
    say("load", book, "--db", nothing_on_server)

    def set_up(address: str) -> None:
        assert say("roles", "--db", address).status == 0

    with people_at(server, nothing_on_server, set_up) as people:
        yield people["storeroom"]


def test_somebody_of_the_storeroom_can_take_every_step_of_it(
    talk: Talk, book: Path, tmp_path: Path, keeper: str
) -> None:
    on_file = talk(str(tmp_path / "site.db"), ("load", book), *STOREROOM)

    assert talk(keeper, *STOREROOM) == on_file[1:]


def test_what_the_role_may_not_do_is_said_in_one_line(say: Say, book: Path, keeper: str) -> None:
    (book / "parts.csv").write_text("part,unit_cost\nP1,7\n", encoding="utf-8")
    refused = say("load", book, "--db", keeper)
    said = say("outage", "--db", keeper)

    assert refused.status == 2
    assert refused.out == ""
    assert len(refused.err.splitlines()) == 1
    assert "your role may not do this" in refused.err
    assert name_of(keeper) in refused.err
    assert said.status == 0


@pytest.mark.usefixtures("keeper")
def test_the_roles_are_told_with_the_way_to_let_somebody_in(
    say: Say, nothing_on_server: str
) -> None:
    said = say("roles", "--db", nothing_on_server)
    told = {line.split(":")[0] for line in said.out.splitlines() if line.startswith("longpole_")}

    assert told == {role.name for role in ROLES}
    assert "positions (part, installed, hours_at_install)" in said.out
    assert 'GRANT longpole_storeroom TO "person"' in said.out


def test_roles_of_a_file_are_none(say: Say, demo_database: Path) -> None:
    said = say("roles", "--db", demo_database)

    assert said.status == 2
    assert "roles need a PostgreSQL server" in said.err


@pytest.mark.parametrize(
    "address",
    [
        f"postgresql://keeper:{SECRET}@/parts?host=/nowhere",
        f"postgresql://keeper:{SECRET}@p@host:abc/parts",
        f"postgresql://keeper:p@{SECRET}@host/parts",
    ],
)
@pytest.mark.parametrize("words", [("outage",), ("load", "BOOK"), ("demo",), ("verify",)])
def test_a_password_in_an_address_is_in_no_answer(
    say: Say, book: Path, address: str, words: tuple[str, ...]
) -> None:
    said = say(*(book if word == "BOOK" else word for word in words), "--db", address)

    assert said.status == 2
    assert SECRET not in said.out + said.err
    assert len(said.err.splitlines()) == 1


def test_a_password_in_an_address_that_works_is_in_no_answer_either(
    say: Say, book: Path, tmp_path: Path, nothing_on_server: str
) -> None:
    address = nothing_on_server.replace("postgres@", f"postgres:{SECRET}@")
    commands: tuple[tuple[str | Path, ...], ...] = (
        ("load", book),
        ("demo",),
        ("outage",),
        ("verify",),
        ("stock", "nonesuch"),
        ("backup", tmp_path / "copy.db"),
        ("restore", tmp_path / "copy.db"),
        ("save", tmp_path / "saved"),
    )
    answers = [say(*words, "--db", address) for words in commands]
    empty(nothing_on_server)
    answers.append(say("restore", tmp_path / "copy.db", "--db", address))

    assert [said.status for said in answers] == [0, 2, 0, 0, 2, 0, 2, 0, 0]
    assert all(SECRET not in said.out + said.err for said in answers)
