"""Our table against the framework's own: filling, a page down, a filter, memory.

    python scripts/bench_table.py [ROWS ...]        10000 and 100000 unless told

Each case runs in a fresh process of its own, both on the same rows of 12 columns at 160x45. Times
run until the screen has nothing left to do; the framework's 100,000 rows take about half a minute.
"""

from __future__ import annotations

import asyncio
import json
import resource
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from textual.app import App, ComposeResult
from textual.geometry import Region
from textual.pilot import Pilot
from textual.widgets import DataTable

from tui.widgets.columns import Column
from tui.widgets.rows import ItemRows
from tui.widgets.table import RowTable

COLUMNS = 12
PAGES = 20
Cells = tuple[str, ...]


def cells(number: int) -> Cells:
    """Return one row of made-up cells."""
    return (f"P-{number:06d}", *(f"value {number % (column + 7)}" for column in range(1, COLUMNS)))


class Ours(App[None]):
    """Our table, and how it is filled and paged."""

    def compose(self) -> ComposeResult:
        yield RowTable(*(Column(f"Column {number}", 12) for number in range(COLUMNS)))

    def fill(self, data: Sequence[Cells]) -> None:
        """List the rows."""
        self.query_one(RowTable).set_rows(ItemRows(data, lambda row: row))

    def page(self) -> None:
        """Go down a page and draw it."""
        table = self.query_one(RowTable)
        table.action_page(1)
        table.render_lines(Region(0, 0, *table.size))


class Theirs(App[None]):
    """The framework's table, and how it is filled and paged."""

    def compose(self) -> ComposeResult:
        yield DataTable[str](cursor_type="row")

    def on_mount(self) -> None:
        """Declare the columns."""
        for number in range(COLUMNS):
            self.query_one(DataTable).add_column(f"Column {number}", width=12)

    def fill(self, data: Sequence[Cells]) -> None:
        """Replace the rows."""
        self.query_one(DataTable).clear()
        self.query_one(DataTable).add_rows(data)

    def page(self) -> None:
        """Go down a page and draw it."""
        table = self.query_one(DataTable)
        table.action_page_down()
        table.render_lines(Region(0, 0, *table.size))


async def measure(app: Ours | Theirs, count: int) -> dict[str, float]:
    """Return seconds for filling, one page and a filter of one row in ten, and megabytes taken."""
    data = [cells(number) for number in range(count)]
    async with app.run_test(size=(160, 45)) as pilot:
        before = peak_megabytes()
        figures = {"fill": await until_idle(pilot, app, data)}
        started = perf_counter()
        for _ in range(PAGES):
            app.page()
        figures["page down"] = (perf_counter() - started) / PAGES
        figures["filter"] = await until_idle(pilot, app, data[::10])
        figures["memory"] = peak_megabytes() - before
    return figures


async def until_idle(pilot: Pilot[None], app: Ours | Theirs, data: Sequence[Cells]) -> float:
    """Return the seconds from new rows to a screen with nothing left to do."""
    started = perf_counter()
    app.fill(data)
    await pilot.pause()
    return perf_counter() - started


def peak_megabytes() -> float:
    """Return the most memory that this process has had."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def in_fresh_process(name: str, count: int) -> dict[str, float]:
    """Return the figures of one case."""
    call = [sys.executable, __file__, "--case", name, str(count)]
    done = subprocess.run(call, check=True, capture_output=True, text=True)
    figures: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return figures


def main(arguments: Sequence[str]) -> None:
    """Print the comparison, or, called for one case, its figures."""
    if arguments[:1] == ["--case"]:
        app = Ours() if arguments[1] == "ours" else Theirs()
        print(json.dumps(asyncio.run(measure(app, int(arguments[2])))))
        return
    print(f"{'rows':>7}  {'':10} {'ours':>12} {'framework':>12} {'ratio':>8}")
    for count in [int(text) for text in arguments] or [10_000, 100_000]:
        ours, theirs = in_fresh_process("ours", count), in_fresh_process("theirs", count)
        for name, own in ours.items():
            unit = "MB" if name == "memory" else "ms"
            scale = 1 if name == "memory" else 1_000
            ratio = f"{theirs[name] / own:7.0f}x" if own > 0 else "-"
            print(
                f"{count:7}  {name:10} {own * scale:9.1f} {unit}"
                f" {theirs[name] * scale:9.1f} {unit} {ratio:>8}"
            )


if __name__ == "__main__":
    main(sys.argv[1:])
