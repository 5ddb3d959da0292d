"""The rules of the house that a machine can watch: sizes, words, what lies where, what loads what.

Also the set-up that every script shares, in its pure parts; the import contracts are in
pyproject.toml and are checked by scripts/check.py.
"""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path

import house
import pytest
import run

ROOT = house.ROOT
TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE"),
    *("pyproject.toml", "requirements.lock", ".gitignore", ".ci"),
    *("parts", "tui", "data", "tests", "scripts"),
}
ROOMS = {"errors.py", "records", "calc", "store", "exchange", "services", "cli", "__init__.py"}
PROSE_AND_SOURCE = {".py", ".md", ".toml", ".csv", ".tcss", ".mako", ".ini", ".html", ".lock", ""}
SCRIPTS_FOR_A_BARE_PYTHON = ("house", "run", "test", "check", "postgres")
HEAVY = {"numpy", "scipy", "networkx", "pandas", "openpyxl", "alembic"}


def kept_files() -> Iterator[Path]:
    """Every file of the clone that its .gitignore does not leave out."""
    ignored = [".git", *(ROOT / ".gitignore").read_text("utf-8").replace("/\n", "\n").split()]

    def kept(name: str) -> bool:
        return not any(fnmatch(name, pattern) for pattern in ignored)

    for folder, folders, files in os.walk(ROOT):
        folders[:] = filter(kept, folders)
        yield from (Path(folder, name) for name in filter(kept, files))


def source_files() -> list[Path]:
    return [path for path in kept_files() if path.suffix == ".py"]


def readable_files() -> list[Path]:
    return [path for path in kept_files() if path.suffix in PROSE_AND_SOURCE]


def shown(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def places_of(pattern: str, files: list[Path]) -> list[str]:
    return [
        f"{shown(path)}:{number}: {line.strip()}"
        for path in files
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if re.search(pattern, line)
    ]


# Sizes


def most_lines(path: Path) -> int:
    if shown(path) == "tui/app.py":
        return 150
    return 600 if shown(path).startswith("tests/") else 400


def test_no_file_outgrows_its_reader() -> None:
    lengths = {path: len(path.read_text("utf-8").splitlines()) for path in source_files()}

    assert [shown(path) for path, lines in lengths.items() if lines > most_lines(path)] == []


def lines_of(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """From `def` to the end, without the docstring: a formula may be explained at length."""
    end = function.end_lineno or function.lineno
    if ast.get_docstring(function) is None:
        return end - function.lineno + 1
    docstring = function.body[0]
    return end - function.lineno - ((docstring.end_lineno or 0) - docstring.lineno)


def test_no_function_is_longer_than_a_screen() -> None:
    # a migration is frozen history: a list of columns that nobody will edit again
    too_long = [
        f"{shown(path)}: {node.name} has {lines_of(node)} lines"
        for path in source_files()
        if "migrations/versions" not in shown(path)
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and lines_of(node) > 40
    ]

    assert too_long == []


# What lies where


def test_the_top_level_holds_nothing_unexpected() -> None:
    found = {shown(path).split("/")[0] for path in kept_files()}

    assert found - TOP_LEVEL == set()


def test_the_parts_have_no_room_that_the_contracts_do_not_know() -> None:
    found = {shown(path).split("/")[1] for path in source_files() if shown(path)[:6] == "parts/"}

    assert found - ROOMS == set()


# Words


def test_no_file_names_a_folder_of_somebodys_machine() -> None:
    folder_of_a_machine = r"(?<![\w.])/(?:work|root|home|Users)/\w|[A-Z]:\\Users"

    assert places_of(folder_of_a_machine, readable_files()) == []


def test_the_lock_names_no_host() -> None:
    assert places_of(r"\w+://|--index|--find-links", [house.LOCK]) == []


def test_nothing_is_left_for_later_in_the_source() -> None:
    assert places_of(r"\b(TO" r"DO|FIX" r"ME|XX" r"X)\b", source_files()) == []


def test_every_page_that_is_named_exists() -> None:
    named = {
        name
        for path in readable_files()
        for name in re.findall(r"[\w./-]+\.md\b", path.read_text("utf-8"))
    }

    assert {name for name in named if not (ROOT / name).exists()} == set()


def test_every_script_named_in_the_readme_exists() -> None:
    named = set(re.findall(r"scripts/\w+\.py|\.ci/\w+", (ROOT / "README.md").read_text("utf-8")))

    assert "scripts/run.py" in named
    assert {name for name in named if not (ROOT / name).exists()} == set()


def test_every_script_is_explained_to_someone() -> None:
    pages = "".join((ROOT / name).read_text("utf-8") for name in ("README.md", "DEVELOPERS.md"))
    scripts = {path.name for path in (ROOT / "scripts").glob("*.py")}

    assert {name for name in scripts if name not in pages} == set()


# What loads what


@pytest.mark.parametrize(
    ("module", "unwanted"),
    [
        ("parts.services", HEAVY | {"textual", "rich"}),
        ("parts.cli", HEAVY | {"textual", "rich"}),
        ("tui.app", HEAVY),
    ],
)
def test_starting_loads_nothing_heavy(module: str, unwanted: set[str]) -> None:
    ask = f"import sys, {module}; print(*sys.modules)"
    loaded = subprocess.run(
        [sys.executable, "-c", ask], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split()

    assert unwanted & set(loaded) == set()


# The set-up


def test_a_clone_without_a_stamp_is_made_from_nothing() -> None:
    assert house.steps_due("", "here", "these") == (house.MAKE, house.INSTALL)


def test_a_finished_set_up_is_left_alone() -> None:
    assert house.steps_due("here\nthese\n", "here", "these") == ()


def test_a_changed_lock_installs_over_what_is_there() -> None:
    assert house.steps_due("here\nthose\n", "here", "these") == (house.INSTALL,)


def test_an_install_that_failed_is_tried_again_without_starting_over() -> None:
    assert house.steps_due("here\n", "here", "these") == (house.INSTALL,)


def test_a_moved_clone_or_another_python_is_made_from_nothing() -> None:
    before = house.place(Path("clone"), (3, 11))
    stamp = f"{before}\nthese\n"

    assert house.steps_due(stamp, house.place(Path("moved"), (3, 11)), "these")[0] == house.MAKE
    assert house.steps_due(stamp, house.place(Path("clone"), (3, 12)), "these")[0] == house.MAKE


def test_a_venv_is_wanted_anew_when_either_file_changes(tmp_path: Path) -> None:
    lock, project = tmp_path / "lock", tmp_path / "project"
    lock.write_text("a")
    project.write_text("b")
    before = house.wants(lock, project)
    lock.write_text("ab")
    project.write_text("")

    assert house.wants(lock, project) != before


def test_programs_lie_where_each_system_keeps_them() -> None:
    venv = Path("clone", ".venv")

    assert house.tool("longpole", venv, windows=False) == venv / "bin" / "longpole"
    assert house.tool("longpole", venv, windows=True) == venv / "Scripts" / "longpole.exe"


def test_our_programs_keep_what_they_write_in_the_clone_and_see_no_other_library() -> None:
    outer = dict.fromkeys(("PYTHONPATH", "TMPDIR", "LONGPOLE_STATE"), "elsewhere")
    inner = house.environment(outer | {"LANG": "C"})

    assert "elsewhere" not in inner.values()
    assert inner["TMPDIR"] == str(house.SCRATCH)
    assert inner["LONGPOLE_STATE"] == str(house.STATE)
    assert inner["LANG"] == "C"


def test_a_failed_set_up_is_one_line_and_status_two(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail() -> None:
        raise house.SetUpFailed("make .venv", "Install the venv module.")

    monkeypatch.setattr(house, "ensure", fail)
    with pytest.raises(SystemExit) as ended:
        house.script(lambda _: 0)

    assert ended.value.code == 2
    assert capsys.readouterr().err == (
        "Set-up failed: could not make .venv. Install the venv module.\n"
    )


@pytest.mark.parametrize("name", SCRIPTS_FOR_A_BARE_PYTHON)
def test_an_old_python_can_read_the_scripts_far_enough_to_be_told(name: str) -> None:
    text = (ROOT / "scripts" / f"{name}.py").read_text("utf-8")

    assert "\nfrom __future__" not in text
    assert ast.parse(text, feature_version=(3, 7))


def test_an_old_python_is_told_in_one_line() -> None:
    ask = "import sys; sys.version_info = (3, 9); import house"
    told = subprocess.run(
        [sys.executable, "-c", ask],
        cwd=ROOT / "scripts",
        capture_output=True,
        text=True,
        check=False,
    )

    assert told.returncode == 2
    assert told.stderr == "longpole needs Python 3.11 or newer; this is Python 3.9.\n"


# The show


@pytest.fixture
def handed_over(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[list[str]]:
    """The commands that run.py starts, as names and arguments, on a clone without demo.db."""
    commands: list[list[str]] = []

    def note(command: list[str | Path], cwd: Path | None = None) -> int:
        commands.append([Path(word).name for word in command])
        return 0

    monkeypatch.setattr(house, "hand_over", note)
    monkeypatch.setattr(run, "DEMO", tmp_path / "demo.db")
    return commands


def test_run_loads_the_demo_site_once_and_ranks_it_where_there_is_no_terminal(
    handed_over: list[list[str]],
) -> None:
    run.main([])
    run.DEMO.touch()
    run.main([])

    ranking = [house.tool("longpole").name, "outage", "--db", "demo.db"]
    assert [command[1] for command in handed_over] == ["demo", "outage", "outage"]
    assert handed_over[-1] == ranking


def test_run_hands_arguments_on_and_leaves_another_database_to_them(
    handed_over: list[list[str]],
) -> None:
    run.main(["outage", "--db=mine.db"])

    assert [command[1:] for command in handed_over] == [["outage", "--db=mine.db"]]


def test_run_passes_on_that_the_demo_site_was_refused(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(house, "hand_over", lambda *_: 5)
    monkeypatch.setattr(run, "DEMO", tmp_path / "demo.db")

    assert run.main(["outage"]) == 5
