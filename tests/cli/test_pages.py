"""What the README says of the commands is so, and what there is stands in it."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from parts.cli.arguments import command_names
from tests.cli.conftest import TODAY, Say

README = (Path(__file__).resolve().parents[2] / "README.md").read_text("utf-8")
EXAMPLE = re.compile(r"^\$ longpole (.+)$", re.MULTILINE)


def test_every_command_stands_in_the_readme_and_every_one_named_there_exists() -> None:
    named = set(re.findall(r"longpole ([a-z]+)\b", README)) | set(re.findall(r"`([a-z]+)`", README))

    assert set(command_names()) <= named
    assert set(re.findall(r"(?:`|\$ )longpole ([a-z]+)", README)) <= set(command_names())


@pytest.mark.parametrize("words", EXAMPLE.findall(README))
def test_every_example_of_the_readme_runs_on_the_demo_site(
    say: Say, demo_database: Path, tmp_path: Path, words: str
) -> None:
    own = tmp_path / "demo.db"  # an example may book something
    shutil.copyfile(demo_database, own)

    assert say(*shlex.split(words), "--db", own, "--today", TODAY).status == 0


def test_the_ranking_shown_in_the_readme_is_that_of_the_demo_site(ask: Say) -> None:
    shown = README[README.index("$ longpole outage\n") :].splitlines()[1:3]

    assert ask("outage").out.splitlines()[:2] == shown


def test_pictures_of_the_readme_are_there() -> None:
    pictures = re.findall(r"\]\((data/pictures/[^)]+)\)", README)

    assert pictures
    assert all((Path(__file__).resolve().parents[2] / name).is_file() for name in pictures)
