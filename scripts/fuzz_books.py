"""Damage site books at random and read them: every outcome is a book, its faults, or one sentence.

Half of the books are folders, half workbooks. A small number of workbooks goes through the real
reading process, the others through the same code within this one. Prints what came of them; ends
with status 1 where anything but a LongpoleError was raised or a refused book left a trace.
Usage: fuzz_books.py [NUMBER] [SEED]
"""

from __future__ import annotations

import io
import random
import re
import sys
import warnings
import zipfile
from collections import Counter
from collections.abc import Callable
from contextlib import redirect_stdout
from pathlib import Path
from tempfile import TemporaryDirectory

import house

sys.path.insert(0, str(house.ROOT))

CHILDREN = 100
CELLS = ("", "x", "-1", "1e999", "NaN", "²", "=1+1", '"', "\0", "\x1b[2J", "P1", "9" * 400, "a+b")
TOKENS = (b"", b"\0", b'"', b",", b"\n", b"\r", b"\xff", b"<", b">", b"<!DOCTYPE x>", b"&x;", b"A1")

ATTRIBUTES = (b"", b"s", b"b", b"d", b"e", b"n", b"-1", b"A0", b"XFD1", b"99999999999")
VALUES = (b"", b"x", b"-1", b"1e999", b"=1+1", b"&lt;", b"p1", b"P1", b"9" * 40, b"_x0000_", b"0")

Outcomes = Counter[str]
Damage = Callable[[bytes], bytes]


def main(arguments: list[str]) -> int:
    number = int(arguments[0]) if arguments else 2_000
    seed = int(arguments[1]) if len(arguments) > 1 else 1
    outcomes, failures = fuzz(number, seed, CHILDREN)
    for outcome, count in sorted(outcomes.items()):
        print(f"{count:6} {outcome}")
    for failure in failures[:10]:
        print(f"FAILED {failure}")
    print(f"{number} books, seed {seed}: {len(failures)} failed")
    return 1 if failures else 0


def fuzz(number: int, seed: int, children: int) -> tuple[Outcomes, list[str]]:
    """Read that many damaged books; the outcomes and the failures, each with its case."""
    from tests.exchange.small_book import folder

    rng = random.Random(seed)  # noqa: S311 - to be repeated, not to be secret
    outcomes, failures = Counter[str](), list[str]()
    with TemporaryDirectory() as name:
        place = Path(name)
        folder(place / "good")
        workbook = _workbook(place)
        for case in range(number):
            kind = "folder" if case % 2 else "workbook"
            try:
                if kind == "folder":
                    outcome = _damaged_folder(rng, place)
                else:
                    damaged = rng.choice(WORKBOOK_DAMAGES)(rng, workbook)
                    outcome = _read_workbook(place, damaged, case < 2 * children)
            except Exception as wrong:
                failures.append(f"case {case}, a {kind}: {type(wrong).__name__}: {wrong}")
                outcome = "another exception"
            outcomes[f"{kind}: {outcome}"] += 1
    return outcomes, failures


def _workbook(place: Path) -> bytes:
    from parts.exchange.reader import read_site_book
    from parts.exchange.writer import write_site_book

    write_site_book(read_site_book(place / "good").book, place / "good.xlsx")
    return (place / "good.xlsx").read_bytes()


def _damaged_folder(rng: random.Random, place: Path) -> str:
    damaged = place / "damaged"
    damaged.mkdir(exist_ok=True)
    for path in damaged.iterdir():
        path.unlink()
    for path in (place / "good").iterdir():
        (damaged / path.name).write_bytes(path.read_bytes())
    for _ in range(rng.randint(1, 4)):
        path = rng.choice(sorted(damaged.iterdir()))
        path.write_bytes(rng.choice(FILE_DAMAGES)(rng, path.read_bytes()))
    return _outcome(place, damaged)


def _outcome(place: Path, source: Path) -> str:
    """Read, merge and check; a book without faults is also saved and read again."""
    from parts.errors import LongpoleError
    from parts.exchange.merge import merge
    from parts.exchange.reader import read_site_book
    from parts.exchange.rules import faults_of
    from parts.exchange.writer import write_site_book
    from parts.records.book import Book

    before = sorted(place.iterdir())
    try:
        merged = merge(Book(), read_site_book(source))
    except LongpoleError:
        return "no site book"
    finally:
        if sorted(place.iterdir()) != before:
            raise AssertionError("reading left a trace")
    if faults_of(merged):
        return "faults"
    write_site_book(merged.book, place / "again")
    again = merge(merged.book, read_site_book(place / "again"))
    if any(again.new.values()) or any(again.changed.values()) or faults_of(again):
        raise AssertionError("saved and read again it is another book")
    return "still a site book"


def _read_workbook(place: Path, content: bytes, real: bool) -> str:
    from parts.exchange import workbook, workbook_child

    path = place / "damaged.xlsx"
    path.write_bytes(content)
    reading = workbook.child_messages
    if not real:
        workbook.child_messages = lambda content, unpacked_bytes: workbook_child.messages(content)
    try:
        with redirect_stdout(io.StringIO()), warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the library talks; the real process does not listen
            return _outcome(place, path)
    finally:
        workbook.child_messages = reading


def _bytes_exchanged(rng: random.Random, content: bytes) -> bytes:
    damaged = bytearray(content)
    for _ in range(rng.randint(1, 8)):
        if damaged:
            damaged[rng.randrange(len(damaged))] = rng.randrange(256)
    return bytes(damaged)


def _token_put_in(rng: random.Random, content: bytes) -> bytes:
    at = rng.randint(0, len(content))
    return content[:at] + rng.choice(TOKENS) * rng.choice((1, 1, 50)) + content[at:]


def _cut_short(rng: random.Random, content: bytes) -> bytes:
    return content[: rng.randint(0, len(content))]


def _piece_repeated(rng: random.Random, content: bytes) -> bytes:
    first, last = sorted(rng.randint(0, len(content)) for _ in range(2))
    return content[:last] + content[first:last] + content[last:]


def _cell_exchanged(rng: random.Random, content: bytes) -> bytes:
    lines = content.split(b"\n")
    line = rng.randrange(len(lines))
    cells = lines[line].split(b",")
    cells[rng.randrange(len(cells))] = rng.choice(CELLS).encode()
    lines[line] = b",".join(cells)
    return b"\n".join(lines)


def _encoded_otherwise(rng: random.Random, content: bytes) -> bytes:
    code = rng.choice(("utf-16", "utf-8-sig", "cp037"))
    return content.decode("utf-8", "replace").encode(code, "replace")


FILE_DAMAGES: tuple[Callable[[random.Random, bytes], bytes], ...] = (
    _bytes_exchanged,
    _token_put_in,
    _cut_short,
    _piece_repeated,
    _cell_exchanged,
    _cell_exchanged,
    _encoded_otherwise,
)


def _repacked(content: bytes, choose: Callable[[list[str]], str], damage: Damage) -> bytes:
    """Damage one part of the archive and pack it again, so that the damage reaches the reader."""
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(packed, "w") as new:
        names = old.namelist()
        chosen = choose(names)
        for name in names:
            part = old.read(name)
            new.writestr(name, damage(part) if name == chosen else part)
    return packed.getvalue()


def _part_damaged(rng: random.Random, content: bytes) -> bytes:
    damage = rng.choice(FILE_DAMAGES)
    return _repacked(content, rng.choice, lambda part: damage(rng, part))


def _attribute_exchanged(rng: random.Random, content: bytes) -> bytes:
    """Exchange what stands between two quotes: types, places, row numbers, styles."""

    def damage(part: bytes) -> bytes:
        pieces = part.split(b'"')
        pieces[rng.randrange(len(pieces) // 2) * 2 + 1] = rng.choice(ATTRIBUTES)
        return b'"'.join(pieces)

    return _repacked(content, rng.choice, damage)


def _value_exchanged(rng: random.Random, content: bytes) -> bytes:
    """Exchange the value of one cell."""

    def damage(part: bytes) -> bytes:
        pieces = re.split(rb"(?<=<[vt]>)([^<]*)", part)
        pieces[rng.randrange(len(pieces) // 2) * 2 + 1] = rng.choice(VALUES)
        return b"".join(pieces)

    def sheet(names: list[str]) -> str:
        return rng.choice([name for name in names if "worksheets/" in name])

    return _repacked(content, sheet, damage)


WORKBOOK_DAMAGES: tuple[Callable[[random.Random, bytes], bytes], ...] = (
    _bytes_exchanged,
    _cut_short,
    _part_damaged,
    _part_damaged,
    _attribute_exchanged,
    _value_exchanged,
    _value_exchanged,
)


if __name__ == "__main__":
    house.script(main)
