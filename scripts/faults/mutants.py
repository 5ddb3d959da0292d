"""The ledger's own code is altered, one place at a time: how many alterations the tests notice.

Each is tried in a copy of the clone, where the tests of the ledger are run until the first that
fails. What none notices is listed; whether it matters is for a reader to say.

Usage: mutants.py [SAMPLE [SEED]]; without a sample, all of them (some hours)
"""

from __future__ import annotations

import ast
import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from queue import SimpleQueue
from tempfile import TemporaryDirectory
from typing import Any

sys.path.append(str(Path(__file__).resolve().parents[1]))

from postgres import ADDRESS, beside_a_server

ROOT = Path(__file__).resolve().parents[2]
ALTERED = (
    "parts/calc/stockroom/*.py",
    "parts/store/ledger.py",
    "parts/store/seals.py",
    "parts/services/stock.py",
    "parts/services/counts.py",
    "parts/services/step_facts.py",
)
_MACHINE = "tests/faults/test_ledger_machine.py::test_"
AT_HOME = (  # the quick ones first: most alterations are noticed within a second
    *("tests/calc/test_stockroom_*.py", "tests/services/test_stock*.py"),
    *("tests/services/test_counts.py", "tests/services/test_printed_seals.py"),
    *("tests/store/test_ledger_guards.py", "tests/faults/test_journal.py"),
    "tests/cli/test_stock.py",
    f"{_MACHINE}movements_by_the_thousand_differ_in_nothing_from_a_dictionary",
    f"{_MACHINE}whatever_steps_are_taken_the_ledger_says_what_lies_there[0]",
)
BESIDE_A_SERVER = (  # some lines do something only there; asked where nothing else noticed
    *("tests/services/test_held_parts.py", "tests/store/test_server_guards.py"),
    *("tests/services/test_stock_steps.py", "tests/services/test_counts.py"),
)
LIBRARIES = ("pytest", "hypothesis", "sqlalchemy", "alembic", "pandas", "scipy.stats", "networkx")
FRESH = get_context("forkserver")
LONGEST_S = 300  # an alteration may make a loop that does not end
NOTHING_TOLD = ("return None", "return False")
TWINS: dict[type[ast.AST], type[Any]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.And: ast.Or,
    ast.Or: ast.And,
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """A file of the clone with one place altered."""

    path: str
    line: int
    what: str
    source: str


def mutants_of(path: str) -> Iterator[Mutant]:
    """Every alteration of a file that is tried."""
    source = (ROOT / path).read_text()
    for number, node in enumerate(_places(ast.parse(source))):
        tree = ast.parse(source)
        told = _alter(next(n for i, n in enumerate(_places(tree)) if i == number), tree)
        if told:
            yield Mutant(path, getattr(node, "lineno", 0), told, ast.unparse(tree))


def _places(node: ast.AST) -> Iterator[ast.AST]:
    """The nodes that do something: no annotation, no decorator."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST):
                yield child
                yield from _places(child)


def _alter(node: ast.AST, tree: ast.AST) -> str:
    """Alter one node in place; what was done, nothing where nothing can be."""
    before = ast.unparse(node)
    match node:
        case ast.Compare(ops=[first, *_]) if type(first) in TWINS:
            node.ops[0] = TWINS[type(first)]()
        case ast.BinOp(op=op) | ast.BoolOp(op=op) | ast.AugAssign(op=op) if type(op) in TWINS:
            node.op = TWINS[type(op)]()
        case ast.UnaryOp(op=ast.Not()):
            node.operand = ast.UnaryOp(ast.Not(), node.operand)
        case ast.If(test=test) | ast.IfExp(test=test) if not isinstance(test, ast.Compare):
            node.test = ast.UnaryOp(ast.Not(), test)
        case ast.Constant(value=bool()):
            node.value = not node.value
        case ast.Constant(value=int()):
            node.value += 1  # type: ignore[operator]
        case ast.Expr(value=ast.Call() | ast.Yield() | ast.YieldFrom()) | ast.Raise():
            _leave_out(node, tree)
        case ast.Return(value=ast.expr()) if before not in NOTHING_TOLD:
            node.value = ast.Constant(None)
        case _:
            return ""
    return f"{_short(before)}  ->  {_short(ast.unparse(node))}"


def _leave_out(node: ast.Expr | ast.Raise, tree: ast.AST) -> None:
    for parent in ast.walk(tree):
        for _, value in ast.iter_fields(parent):
            if isinstance(value, list) and node in value:
                value[value.index(node)] = ast.Pass()
    node.__class__ = ast.Pass  # type: ignore[assignment]


def _short(text: str) -> str:
    first = text.splitlines()[0]
    return first if len(first) <= 60 else first[:57] + "..."


@contextmanager
def copies(number: int) -> Iterator[SimpleQueue[Path]]:
    """So many copies of the clone, each for one trial at a time."""
    with TemporaryDirectory() as folder:
        free: SimpleQueue[Path] = SimpleQueue()
        for each in range(number):
            copy = Path(folder) / str(each)
            left_out = shutil.ignore_patterns(".git", ".venv", "*.db", "__pycache__", ".*_cache")
            shutil.copytree(ROOT, copy, ignore=left_out)
            free.put(copy)
        yield free


def is_noticed(mutant: Mutant, free: SimpleQueue[Path]) -> bool:
    """Whether a test fails, or does not end, with a file altered."""
    copy = free.get()
    at = copy / mutant.path
    kept = at.read_bytes()
    at.write_text(mutant.source)
    try:
        return fails(copy) or (ADDRESS in os.environ and fails(copy, beside_it=True))
    finally:
        at.write_bytes(kept)
        free.put(copy)


def fails(copy: Path, *, beside_it: bool = False) -> bool:
    """Whether the tests of a copy, or those beside a server, fail or do not end."""
    trial = FRESH.Process(target=_ask, args=(copy, beside_it))
    trial.start()
    trial.join(LONGEST_S)
    if trial.exitcode is None:
        os.killpg(trial.pid or 0, signal.SIGKILL)
    trial.join()
    return trial.exitcode != 0


def _ask(copy: Path, beside_it: bool) -> None:
    """Run tests of a copy in this process, which knows the libraries and no code of ours."""
    import pytest

    os.setsid()
    os.chdir(copy)
    os.environ |= {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    if not beside_it:
        os.environ.pop(ADDRESS, None)
    sys.path[:0] = [str(copy), str(copy / "scripts")]
    sys.dont_write_bytecode = True
    asked = BESIDE_A_SERVER if beside_it else AT_HOME
    files = [each for some in asked for each in _found(copy, some)]
    with open(os.devnull, "w") as nowhere, redirect_stdout(nowhere), redirect_stderr(nowhere):
        told = pytest.main(["-x", "-q", "-p", "no:cacheprovider", *files])
    sys.exit(int(told))


def _found(copy: Path, pattern: str) -> list[str]:
    path, _, test = pattern.partition("::")
    return [f"{each.relative_to(copy)}{test and '::' + test}" for each in sorted(copy.glob(path))]


def main(arguments: list[str]) -> int:
    """Try a sample or all, tell what nothing noticed; 1 where that is more than a tenth."""
    paths = [str(path.relative_to(ROOT)) for each in ALTERED for path in sorted(ROOT.glob(each))]
    every = [mutant for path in paths for mutant in mutants_of(path)]
    number = min(len(every), int(arguments[0])) if arguments else len(every)
    rng = random.Random(int(arguments[1]) if len(arguments) > 1 else 1)  # noqa: S311 - repeatable
    began = time.monotonic()
    with beside_a_server(), copies(os.cpu_count() or 1) as free:
        left = list(_unnoticed(rng.sample(every, number), free))
    share = 1 - len(left) / number
    print(f"{number:,} of {len(every):,} alterations, {share:.1%} noticed, {len(left)} not, "
          f"in {time.monotonic() - began:,.0f} s")  # fmt: skip
    return 1 if share < 0.9 else 0


def _unnoticed(chosen: list[Mutant], free: SimpleQueue[Path]) -> Iterator[Mutant]:
    FRESH.set_forkserver_preload(list(LIBRARIES))
    if fails(copy := free.get()):
        raise SystemExit("The tests fail before anything is altered.")
    free.put(copy)
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        tried = pool.map(lambda mutant: is_noticed(mutant, free), chosen)
        for number, (mutant, noticed) in enumerate(zip(chosen, tried, strict=True), start=1):
            if not noticed:
                print(f"{mutant.path}:{mutant.line}: {mutant.what}", flush=True)
                yield mutant
            if number % 100 == 0:
                print(f"{number:,} of {len(chosen):,} tried", file=sys.stderr)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
