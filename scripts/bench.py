"""Load, snapshot and outage of a large invented fleet, and how they grow with it.

    python scripts/bench.py [--cranes 100 1000]

Every step runs in a process of its own, so that its memory is its own. Times are given beside
what plain sqlite3 needs to fetch the same rows in the same run: the ratio is what counts, since
machines differ.
"""

from __future__ import annotations

import argparse
import json
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TypeVar

TODAY = date(2026, 11, 25)
AIM_RATIO = 3.0
Figures = dict[str, float]
Result = TypeVar("Result")


def peak_mb() -> float:
    """The most memory that this process has held; 0 where the system does not tell."""
    try:
        import resource
    except ImportError:
        return 0.0
    divisor = 1024.0**2 if sys.platform == "darwin" else 1024.0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / divisor


def timed(work: Callable[[], Result]) -> tuple[float, Result]:
    start = time.perf_counter()
    result = work()
    return time.perf_counter() - start, result


def load(book: Path, database: Path) -> Figures:
    from parts.services.books import load_book

    seconds, _ = timed(lambda: load_book(book, str(database)))
    return {"seconds": seconds, "mb": peak_mb()}


def fetch(_: Path, database: Path) -> Figures:
    """Every row of every table through plain sqlite3: what any program must pay at least."""

    def rows() -> int:
        connection = sqlite3.connect(database)
        tables = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        names = [name for (name,) in tables.fetchall() if not name.startswith("sqlite_")]
        kept = [
            connection.execute(f'SELECT * FROM "{name}"').fetchall()  # noqa: S608 - our own tables
            for name in names
        ]
        connection.close()
        return sum(map(len, kept))

    seconds, count = timed(rows)
    return {"seconds": seconds, "mb": peak_mb(), "rows": float(count)}


def outage(_: Path, database: Path) -> Figures:
    from parts.services.outages import outage as reckon
    from parts.services.sites import read_snapshot

    reading, snapshot = timed(lambda: read_snapshot(str(database), TODAY))
    snapshot_mb = peak_mb()
    import parts.calc.failing.outages  # noqa: F401 - loading the libraries is not what is measured

    reckoning, fleet = timed(lambda: reckon(snapshot))
    page, _lines = timed(lambda: [fleet.row(rank) for rank in range(40)])
    return {
        "snapshot_seconds": reading,
        "snapshot_mb": snapshot_mb,
        "seconds": reckoning,
        "mb": peak_mb(),
        "page_seconds": page,
    }


STEPS = {"load": load, "fetch": fetch, "outage": outage}


def in_a_process(step: str, book: Path, database: Path) -> Figures:
    command = [sys.executable, __file__, "--step", step, str(book), str(database)]
    output = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    figures: Figures = json.loads(output)
    return figures


def measure(cranes: int, folder: Path) -> dict[str, Figures]:
    book, database = folder / f"fleet-{cranes}", folder / f"fleet-{cranes}.db"
    maker = Path(__file__).with_name("make_fleet.py")
    subprocess.run([sys.executable, maker, book, "--cranes", str(cranes)], check=True)
    figures = {step: in_a_process(step, book, database) for step in STEPS}
    figures["database"] = {"mb": database.stat().st_size / 1024.0**2}
    return figures


def report(cranes: int, figures: dict[str, Figures]) -> None:
    fetch_seconds = figures["fetch"]["seconds"]
    answer = figures["outage"]

    def line(what: str, seconds: float, megabytes: float) -> None:
        ratio = seconds / fetch_seconds
        print(f"  {what:34}{seconds:8.2f} s {ratio:7.2f} x fetch {megabytes:8.0f} MB at most")

    print(f"{cranes} cranes, {figures['fetch']['rows']:,.0f} rows, "
          f"database {figures['database']['mb']:.0f} MB")  # fmt: skip
    line("load the site book", figures["load"]["seconds"], figures["load"]["mb"])
    line("plain sqlite3 fetches all rows", fetch_seconds, figures["fetch"]["mb"])
    line("read the snapshot", answer["snapshot_seconds"], answer["snapshot_mb"])
    line("outage of the whole fleet", answer["seconds"], answer["mb"])
    line("40 lines of it, with long poles", answer["page_seconds"], answer["mb"])


def growth(small: tuple[int, Figures], large: tuple[int, Figures]) -> None:
    times = large[0] / small[0]
    ratio = large[1]["seconds"] / small[1]["seconds"]
    print(f"outage: {times:.0f} times the cranes take {ratio:.1f} times as long")
    aim = large[1]["seconds"]
    print(f"aim: within {AIM_RATIO:g} x fetch; see the ratio above ({aim:.2f} s)")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cranes", nargs="+", type=int, default=[100, 1000])
    parser.add_argument("--step", nargs=3, metavar=("STEP", "BOOK", "DATABASE"))
    options = parser.parse_args()
    if options.step:
        step, book, database = options.step
        print(json.dumps(STEPS[step](Path(book), Path(database))))
        return 0
    folder = Path(tempfile.mkdtemp(prefix="longpole-bench-"))
    try:
        measured = {}
        for cranes in options.cranes:
            measured[cranes] = measure(cranes, folder)
            report(cranes, measured[cranes])
        if len(measured) > 1:
            (first, *_, last) = measured
            growth((first, measured[first]["outage"]), (last, measured[last]["outage"]))
    finally:
        shutil.rmtree(folder)
    return 0


if __name__ == "__main__":
    sys.exit(main())
