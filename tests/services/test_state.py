"""What is remembered comes back; what was damaged or cannot be kept is no trouble to anybody."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.services import state


def files_in(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


def test_what_is_remembered_comes_back() -> None:
    state.remember("last place", ["crane", 3])

    assert state.recall("last place") == ["crane", 3]
    assert state.recall("another") is None


def test_none_forgets(state_folder: Path) -> None:
    state.remember("last place", 3)
    state.remember("last place", None)
    state.remember("never there", None)

    assert state.recall("last place") is None
    assert files_in(state_folder) == []


@given(st.text(), st.text())
def test_names_and_databases_never_mix(one: str, other: str) -> None:
    state.remember(one, "first")
    state.remember(other, "second")
    state.remember(one, "of a site", f"a {one.encode().hex() if one.isascii() else ''}.db")

    assert state.recall(one) == ("second" if one == other else "first")


def test_one_database_has_one_memory_whatever_path_leads_to_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    state.remember("last place", "here", "site.db")

    assert state.recall("last place", str(tmp_path / "site.db")) == "here"
    assert state.recall("last place", "other.db") is None
    assert state.recall("last place") is None


def test_who_logs_in_makes_no_difference_and_is_written_nowhere(state_folder: Path) -> None:
    state.remember("last place", "here", "postgresql://ann:p@ss:word@host/site")

    assert state.recall("last place", "postgresql://host/site") == "here"
    kept = "".join(f"{path}{path.read_text()}" for path in files_in(state_folder))
    assert "word" not in kept


@pytest.mark.parametrize("damage", [b"", b"{", b"\xff\xfe", b"[1]", b'{"value"', b"[" * 100_000])
def test_a_damaged_file_is_nothing_remembered(state_folder: Path, damage: bytes) -> None:
    state.remember("last place", 3)
    state.keep_draft("part", {"part": "X"})
    for path in files_in(state_folder):
        path.write_bytes(damage)

    assert state.recall("last place") is None
    assert state.drafts() == {}
    assert state.remember("last place", 4)
    assert state.recall("last place") == 4


def test_where_nothing_can_be_kept_nothing_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a file").touch()
    monkeypatch.setenv("LONGPOLE_STATE", str(tmp_path / "a file" / "state"))

    assert not state.remember("last place", 3)
    assert state.recall("last place") is None
    assert state.drafts() == {}


@pytest.mark.skipif(os.name == "nt", reason="modes are of POSIX")
def test_nobody_else_can_read_it(state_folder: Path) -> None:
    state.remember("last place", 3, "site.db")
    modes = {stat.S_IMODE(path.stat().st_mode) for path in files_in(state_folder)}

    assert modes == {0o600}
    folders = [state_folder, *(path for path in state_folder.rglob("*") if path.is_dir())]
    assert {stat.S_IMODE(path.stat().st_mode) for path in folders} == {0o700}


def test_a_write_that_fails_leaves_what_was_there_and_no_half_file(
    state_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    state.remember("last place", 3)

    def refuse(*_: object) -> None:
        raise OSError

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", refuse)
        assert not state.remember("last place", 4)

    assert state.recall("last place") == 3
    assert len(files_in(state_folder)) == 1


def test_drafts_are_kept_by_form_and_database_and_dropped() -> None:
    state.keep_draft("part PIN/7", {"part": "PIN/7", "qty": 2}, "site.db")
    state.keep_draft("crane", {"crane": "HM\ud800"}, "site.db")
    state.keep_draft("crane", {"crane": "other"}, "other.db")
    state.remember("draft horse", 1, "site.db")

    assert state.drafts("site.db") == {
        "crane": {"crane": "HM\ud800"},
        "part PIN/7": {"part": "PIN/7", "qty": 2},
    }
    state.drop_draft("crane", "site.db")
    assert list(state.drafts("site.db")) == ["part PIN/7"]
    assert list(state.drafts("other.db")) == ["crane"]


@pytest.mark.parametrize(
    ("names", "expected"),
    [
        ({"LONGPOLE_STATE": "mine", "XDG_STATE_HOME": "{tmp}"}, Path("mine")),
        ({"XDG_STATE_HOME": "{tmp}"}, Path("{tmp}", "longpole")),
        ({"XDG_STATE_HOME": "relative", "HOME": "{tmp}"}, Path("{tmp}/.local/state/longpole")),
        ({"HOME": "{tmp}"}, Path("{tmp}/.local/state/longpole")),
    ],
)
@pytest.mark.skipif(os.name == "nt", reason="folders are those of POSIX")
def test_the_folder_is_where_a_machine_keeps_such_things(
    names: dict[str, str], expected: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("LONGPOLE_STATE", "XDG_STATE_HOME"):
        monkeypatch.delenv(name, raising=False)
    for name, value in names.items():
        monkeypatch.setenv(name, value.replace("{tmp}", str(tmp_path)))

    assert state.folder() == Path(str(expected).replace("{tmp}", str(tmp_path)))
