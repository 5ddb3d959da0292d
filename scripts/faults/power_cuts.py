"""Power cuts at random moments of a storeroom's work, simulated; nothing acknowledged may be lost.

What was synced is there afterwards. Of what was written since, each piece is there, is not, or is
torn at a sector of 512 bytes, whichever chance says. A model of a disk, not a plug that was pulled.

Usage: power_cuts.py [NUMBER] [SEED]
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from parts.errors import LongpoleError
from parts.services import copies
from tests.faults.day import keys_in
from tests.faults.disk import Operation, disk
from tests.faults.scratch import scratch
from tests.services.storeroom import fill, take

SECTOR = 512
STEPS = 60
Logged = Operation | str
"""What was asked of the disk, or the key of a step that was acknowledged."""


@dataclass
class Medium:
    """One file on a disk without power: what is sure, and what was asked for since the sync."""

    sure: bytearray
    since: list[Operation] = field(default_factory=list)

    def take(self, operation: Operation) -> None:
        if operation.kind == "delete":
            raise ValueError("a journal that is deleted is not what the program is set to")
        if operation.kind == "sync":
            for each in self.since:
                _do(self.sure, each)
            self.since.clear()
        else:
            self.since.append(operation)

    def after_a_cut(self, rng: random.Random) -> bytes:
        left = bytearray(self.sure)
        for each in self.since:
            kept = rng.choice(("all", "none", "torn"))
            if kept == "all" or (kept == "torn" and each.kind == "truncate"):
                _do(left, each)
            elif kept == "torn":
                _tear(left, each, rng)
        return bytes(left)


def _do(content: bytearray, operation: Operation) -> None:
    if operation.kind == "truncate":
        del content[operation.at :]
        content.extend(bytes(operation.at - len(content)))
        return
    content.extend(bytes(max(0, operation.at - len(content))))
    content[operation.at : operation.at + len(operation.data)] = operation.data


def _tear(content: bytearray, operation: Operation, rng: random.Random) -> None:
    """Keep some sectors of a write and lose the others."""
    at, end = operation.at, operation.at + len(operation.data)
    while at < end:
        stop = min(end, (at // SECTOR + 1) * SECTOR)
        if rng.random() < 0.5:
            piece = operation.data[at - operation.at : stop - operation.at]
            _do(content, Operation("write", operation.file, at, piece))
        at = stop


def main(arguments: list[str]) -> int:
    number = int(arguments[0]) if arguments else 1_000
    told = cut(number, int(arguments[1]) if len(arguments) > 1 else 1)
    print(", ".join(f"{count:,} {what}" for what, count in told.items()))
    return 1 if told["acknowledged lost"] + told["damaged"] else 0


def cut(number: int, seed: int = 1, steps: int = STEPS) -> Counter[str]:
    """Cut the power so often; what came of it, counted."""
    rng = random.Random(seed)  # noqa: S311 - to be repeated, not to be secret
    told = Counter({"cuts": 0, "acknowledged": 0, "acknowledged lost": 0, "damaged": 0})
    with scratch() as folder:
        at = Path(fill(str(folder / "site.db")))
        take(str(at), "count", "COIL", 4, key="0")  # makes the journal's file
        files = [path for path in (at, at.with_name("site.db-journal")) if path.exists()]
        before = {path.name: path.read_bytes() for path in files}
        log = _worked(str(at), steps)
        for _ in range(number):
            _cut(before, log[: rng.randint(0, len(log))], at, rng, told)
    return told


def _worked(at: str, steps: int) -> list[Logged]:
    log: list[Logged] = []
    with disk(log.append):
        for number in range(1, steps + 1):
            key = str(number)
            if number % 3:
                take(at, "receive", "COIL", 2, certificate="C", store="main", key=key)
            else:
                take(at, "transfer", "COIL", 3, store="main", to_store="crib", key=key)
            log.append(key)
    return log


def _cut(
    before: dict[str, bytes], log: list[Logged], at: Path, rng: random.Random, told: Counter[str]
) -> None:
    media = {name: Medium(bytearray(content)) for name, content in before.items()}
    acknowledged = set()
    for each in log:
        if isinstance(each, str):
            acknowledged.add(each)
        else:
            media[each.file].take(each)
    for name, medium in media.items():
        at.with_name(name).write_bytes(medium.after_a_cut(rng))
    told["cuts"] += 1
    told["acknowledged"] += len(acknowledged)
    try:
        told["damaged"] += not copies.verify(str(at)).sound
        told["acknowledged lost"] += len(acknowledged - keys_in(str(at)))
    except LongpoleError:  # what is left cannot even be opened
        told["damaged"] += 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
