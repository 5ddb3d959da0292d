"""The search beside a plain scan: each keystroke through the service and through the screen.

    python scripts/bench_find.py [ROWS]        100000 unless told

Rows are the parts, their other numbers and the positions of an invented fleet. Texts are typed one
key after another and every key is answered, as if nobody ever paused; `x scan` tells how many
times the scan it takes, which asks `typed in text` of the same texts and neither folds, ranks nor
says why. On the screen the time runs from the key to the list painted, without the wait for a
pause.
"""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter
from tracemalloc import get_traced_memory, start, stop
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import tui  # noqa: F401 - as in the program before the framework: it says how often that paints

# isort: split
from make_fleet import PARTS_A_CRANE, TODAY, fleet_book
from textual.app import App
from textual.widgets import Input

from parts.calc.finding.index import Index
from parts.records.snapshot import Snapshot, snapshot_of
from parts.services import finding
from tui.screens.find import FindScreen
from tui.site import Site

POSITIONS_A_CRANE = 400
ROWS_A_CRANE = POSITIONS_A_CRANE + 2 * PARTS_A_CRANE
PAUSE_S = FindScreen.PAUSE_S
GUESSED_FROM = "qqqqqq"
"""Nothing is called so, so that every way to find it is tried."""
Seconds = dict[str, list[float]]


def typed_texts(snapshot: Snapshot) -> dict[str, str]:
    """Return what is typed, by what it is."""
    number = snapshot.part_numbers[len(snapshot.part_numbers) // 2].number
    crane, position = snapshot.positions.crane[0], snapshot.positions.position[0]
    part = list(snapshot.parts)[-1]
    return {
        "another's number": number,
        "the same with dashes": "-".join((number[:3], number[3:5], number[5:])),
        "two keys exchanged": number[:4] + number[5] + number[4] + number[6:],
        "own number": part.lower(),
        "crane and position": f"{crane} {position}",
        "words": "place gear 1",
        "one letter": "c",
        "nothing at all": "qqqq xxxx",
        "a stamp": f"TYPE 7 NO {number} 24V DC",
    }


def keys_of(text: str) -> Iterator[str]:
    """Return what stands in the line after each key."""
    return (text[:end] for end in range(1, len(text) + 1))


def timed(answer: Callable[[str], object], text: str) -> list[float]:
    """Return the seconds of each key of a text."""
    seconds = []
    for typed in keys_of(text):
        started = perf_counter()
        answer(typed)
        seconds.append(perf_counter() - started)
    return seconds


async def on_the_screen(snapshot: Snapshot, texts: dict[str, str]) -> Seconds:
    """Return the seconds of each key until its list is painted."""
    FindScreen.PAUSE_S = 0.001
    app: App[None] = App()
    screen = _Watched(Site(snapshot))
    seconds: Seconds = {}
    async with app.run_test(size=(140, 45)):
        await app.push_screen(screen)
        await screen.painted.wait()
        await screen.seconds_of(GUESSED_FROM)
        for name, text in texts.items():
            seconds[name] = [await screen.seconds_of(typed) for typed in keys_of(text)]
    return seconds


class _Watched(FindScreen):
    """The screen, telling when a list has been painted."""

    DEFAULT_CSS = "_Watched LinesPanel { height: 7; }"

    def __init__(self, site: Site) -> None:
        super().__init__(site)
        self.painted = asyncio.Event()

    def list_found(self, *found: Any, **others: Any) -> None:
        super().list_found(*found, **others)
        self.call_after_refresh(self.painted.set)

    async def seconds_of(self, typed: str) -> float:
        """Return the seconds from a key to its list."""
        self.painted.clear()
        started = perf_counter()
        self.query_one(Input).value = typed
        await self.painted.wait()
        return perf_counter() - started


def laid_out(snapshot: Snapshot) -> Index:
    """Return the index, and print what it costs."""
    started = perf_counter()
    finding.index_of(snapshot)
    seconds = perf_counter() - started
    start()
    index = finding.index_of(snapshot)
    held_mb = get_traced_memory()[0] / 2**20
    stop()
    print(f"laying out {seconds:.2f} s; the index holds {held_mb:.1f} MB, of which the keys and "
          f"lines {index.bytes_held() / 2**20:.1f} MB")  # fmt: skip
    started = perf_counter()
    finding.find(index, GUESSED_FROM)
    print(f"the first guess lays out its words in {perf_counter() - started:.2f} s more")
    return index


def main(arguments: Sequence[str]) -> None:
    """Print the figures."""
    rows = int(arguments[0]) if arguments else 100_000
    snapshot = snapshot_of(fleet_book(-(-rows // ROWS_A_CRANE), seed=1), TODAY)
    things = len(snapshot.parts) + len(snapshot.part_numbers) + len(snapshot.positions)
    print(f"{things:,} rows: parts, numbers and positions")
    index = laid_out(snapshot)
    texts = [" ".join(label.text for label in labels) for labels in index.things.labels()]
    typed = typed_texts(snapshot)
    for text in typed.values():
        timed(lambda each: finding.find(index, each), text)
    shown = asyncio.run(on_the_screen(snapshot, typed))
    print(f"{'typed':22} {'keys':>4}  {'service, ms':>15} {'x scan':>6}"
          f"  {'screen, ms':>15} {'x scan':>6}")  # fmt: skip
    print(f"{'':22} {'':>4}  {'median':>7} {'worst':>7} {'':>6}  {'median':>7} {'worst':>7}")
    for name, text in typed.items():
        scan = median(timed(lambda each: [1 for t in texts if each in t], text))
        asked = timed(lambda each: finding.find(index, each), text)
        line = f"{name:22} {len(text):4}"
        for seconds in (asked, shown[name]):
            line += (f"  {median(seconds) * 1e3:7.1f} {max(seconds) * 1e3:7.1f}"
                     f" {median(seconds) / scan:6.2f}")  # fmt: skip
        print(line)
    print(f"A person waits for the pause of {PAUSE_S * 1e3:.0f} ms besides.")


if __name__ == "__main__":
    main(sys.argv[1:])
