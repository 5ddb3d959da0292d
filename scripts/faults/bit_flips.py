"""Single bits of a database with the demo site turned over at random: who notices.

Told apart: an error as soon as it is opened or read as every command reads it; found by `verify`;
seen by nothing while a table differs; and without effect, where every table reads as before. For
what nothing sees, the table and column are told in which it lies. Ends with status 1 where the
program was upset without a word of its own.

Usage: bit_flips.py [FLIPS] [SEED]
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from pathlib import Path

from parts.errors import LongpoleError
from parts.services import books, copies
from parts.services.sites import read_snapshot
from tests.faults.raw import Tables, tables_in
from tests.faults.scratch import scratch
from tests.services.storeroom import TODAY

SEEN = (
    *("error when read", "found by verify", "without effect", "seen by nothing"),
    "not told in words",
)


def main(arguments: list[str]) -> int:
    number = int(arguments[0]) if arguments else 3_000
    told, unseen = flipped(number, int(arguments[1]) if len(arguments) > 1 else 1)
    print(", ".join(f"{told[what]:,} ({told[what] / number:.1%}) {what}" for what in SEEN))
    for where, count in unseen.most_common():
        print(f"  {count:5,} {where}")
    return 1 if told["not told in words"] else 0


def flipped(number: int, seed: int = 1) -> tuple[Counter[str], Counter[str]]:
    """Turn so many bits, each in a copy of its own; what came of it, and where it is not seen."""
    rng = random.Random(seed)  # noqa: S311 - to be repeated, not to be secret
    told, unseen = Counter[str](), Counter[str]()
    with scratch() as folder:
        at = folder / "demo.db"
        books.load_demo(str(at))
        good = at.read_bytes()
        before = tables_in(at)
        for _ in range(number):
            damaged = bytearray(good)
            damaged[rng.randrange(len(good))] ^= 1 << rng.randrange(8)
            at.write_bytes(damaged)
            what = _seen(at, before, unseen)
            told[what] += 1
    return told, unseen


def _seen(at: Path, before: Tables, unseen: Counter[str]) -> str:
    try:
        read_snapshot(str(at), TODAY)
        if not copies.verify(str(at)).sound:
            return "found by verify"
    except LongpoleError:
        return "error when read"
    except Exception as upset:  # a fault of the program: it would end with a traceback
        unseen[f"{type(upset).__name__}: {upset}"[:70]] += 1
        return "not told in words"
    after = tables_in(at)
    if after == before:
        return "without effect"
    unseen.update(_differing(before, after))
    return "seen by nothing"


def _differing(before: Tables, after: Tables) -> set[str]:
    found = set()
    for name, rows in before.items():
        header = rows[0]
        for old, new in zip(rows, after.get(name, []), strict=False):
            found |= {f"{name}.{column}" for column, a, b in zip(header, old, new, strict=True)
                      if a != b}  # fmt: skip
        if len(rows) != len(after.get(name, [])):
            found.add(f"rows of {name}")
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
