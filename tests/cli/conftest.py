"""The demo site in a database, and a way to give commands as a person would."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from parts.cli import main

TODAY = "2026-11-25"


@dataclass(frozen=True)
class Said:
    """What a command answered."""

    status: int
    out: str
    err: str

    @property
    def document(self) -> Any:
        return json.loads(self.out)


Say = Callable[..., Said]


@pytest.fixture(scope="session")
def demo_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    assert main(["demo", "--db", str(path)]) == 0
    return path


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Say:
    """Give a command; the words are those typed after `longpole`."""

    def give(*words: str | Path) -> Said:
        capsys.readouterr()
        status = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return Said(status, out, err)

    return give


@pytest.fixture(scope="session")
def _answers() -> dict[tuple[str, ...], Said]:
    """What the demo site has answered: nothing that is asked changes it."""
    return {}


@pytest.fixture
def ask(say: Say, demo_database: Path, _answers: dict[tuple[str, ...], Said]) -> Say:
    """Ask a question of the demo site on its day, each once."""

    def give(*words: str) -> Said:
        if words not in _answers:
            _answers[words] = say(*words, "--db", demo_database, "--today", TODAY)
        return _answers[words]

    return give


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A small sound site book."""
    folder = tmp_path / "book"
    folder.mkdir()
    files = {
        "cranes": "crane,down_cost_per_day\nC1,1000\n",
        "parts": "part,default_lead_days\nP1,30\n",
        "positions": "crane,position,part,exchange_hours\nC1,drive,P1,16\n",
        "functions": "crane,function,lost_share\nC1,travel,1\n",
        "needs": "crane,item,needs\nC1,travel,drive\n",
    }
    for name, text in files.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder
