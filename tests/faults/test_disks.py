"""Disks that refuse and power that fails, in small numbers: the same as scripts/faults in large."""

from __future__ import annotations

from pathlib import Path

import pytest
from faults import failing_disk, power_cuts

from parts.cli import main
from parts.errors import DatabaseDoubtful, LongpoleError, UnusableCopy
from parts.services import copies
from parts.store import sqlite_connections
from tests.faults.day import DAY, keys_in, stock_in
from tests.faults.disk import Operation, disk, refusal
from tests.faults.raw import tables_in
from tests.services.storeroom import TODAY, fill, held


def test_a_disk_that_refuses_loses_nothing_and_the_same_keys_end_the_same() -> None:
    told = failing_disk.tried(number=8)

    assert told["faults"] == 8
    assert told["acknowledged"] > 10
    assert told["refused"] > 4
    assert told["acknowledged lost"] == told["damaged"] == told["ended otherwise"] == 0


def test_a_power_cut_loses_nothing_that_was_acknowledged() -> None:
    told = power_cuts.cut(10, steps=12)

    assert told["cuts"] == 10
    assert told["acknowledged"] > 30
    assert told["acknowledged lost"] == told["damaged"] == 0


def test_the_same_cuts_find_out_a_database_that_syncs_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    careless = (*sqlite_connections.SETTINGS[:-1], "synchronous=OFF")
    monkeypatch.setattr(sqlite_connections, "SETTINGS", careless)
    told = power_cuts.cut(6, steps=12)

    assert told["acknowledged lost"] + told["damaged"] > 0


def test_steps_that_are_stored_though_their_end_was_refused_are_booked_once(tmp_path: Path) -> None:
    at, whole = fill(str(tmp_path / "site.db")), fill(str(tmp_path / "whole.db"))
    for key, doing in DAY.items():
        with disk(_refuse_the_last_sync), pytest.raises(DatabaseDoubtful, match="look whether"):
            doing(at)
        assert key in keys_in(at)
        assert doing(at).already
        assert not doing(whole).already

    assert stock_in(at) == stock_in(whole)


def _refuse_the_last_sync(operation: Operation) -> None:
    """The journal is cut to nothing, which makes the step part of the file; then it is synced."""
    if operation.kind == "truncate":
        _cut.append(operation.file)
    elif operation.kind == "sync" and operation.file in _cut:
        _cut.clear()
        raise refusal(operation)


_cut: list[str] = []


def test_a_command_whose_step_is_in_doubt_tells_the_key_to_ask_with(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = fill(str(tmp_path / "site.db"))
    issue = ["issue", "COIL", "--db", at, "--today", TODAY.isoformat()]
    with disk(_refuse_the_last_sync):
        status = main(issue)
    told = capsys.readouterr().err
    key = told.split("--key '")[1].split("'")[0]

    assert (status, told.count("\n")) == (2, 1)
    assert main([*issue, "--key", key]) == 0
    assert "already" in capsys.readouterr().out
    assert held(at, "COIL") == {"main": (3, 3)}


def test_a_copy_is_put_back_whole_or_not_at_all_on_a_disk_that_refuses(tmp_path: Path) -> None:
    at, copy = tmp_path / "site.db", tmp_path / "copy.db"
    fill(str(at))
    copies.backup(str(at), copy)
    DAY["in"](str(at))
    full, before, after = at.read_bytes(), tables_in(at), tables_in(copy)
    asked = failing_disk.Refusing(0, for_ever=False)
    with disk(asked):
        copies.restore(str(copy), str(at))
    assert tables_in(at) == after
    with pytest.raises(UnusableCopy, match="there is none of that name"):
        copies.restore(str(tmp_path / "other.db"), str(at))

    cut_short = 0
    for place in range(1, asked.asked, asked.asked // 7):
        at.write_bytes(full)
        with disk(failing_disk.Refusing(place, for_ever=False)), pytest.raises(LongpoleError):
            copies.restore(str(copy), str(at))
        assert tables_in(at) in (before, after)
        assert copies.verify(str(at)).sound
        cut_short += tables_in(at) == before
    assert cut_short > 3
    assert list(tmp_path.glob(".*.new*")) == []
