"""Counts by sheet in words: where the sheet is, and what a count found, net beside absolute."""

from __future__ import annotations

from collections.abc import Iterator

from parts.records.copies import ABOUT_THE_SEAL
from parts.records.count_answers import CountedLine, CountReport, CountSheet, CountTotals
from parts.records.stock import Movement
from tui import formats
from tui.step_sentences import place
from tui.widgets.texts import QUIET, STRONG, WARN, Piece

BLIND = "It does not tell what the book says, so that everybody counts what lies there."


def sheet_lines(sheet: CountSheet, path: str) -> Iterator[Piece]:
    """Return where a sheet was written, and what to do with it."""
    number = formats.count(len(sheet.lines), "place")
    yield (f"A sheet of {number} to count was written to {path}.", STRONG)
    yield BLIND
    yield (
        "Fill in its column counted, 0 where nothing lies; leave blank what nobody counted. Then "
        "book it: move stock, book sheet."
    )
    if sheet.left_out:
        yield (f"{sheet.left_out:,} more have no bin on record and are on no walk by bins.", WARN)


def report_lines(report: CountReport) -> Iterator[Piece]:
    """Return what a count found: totals, the lines that differ, what to do, the seal."""
    told = "was booked already; nothing was added" if report.already else "is booked"
    yield (f"Count {report.sheet} of {report.counted_on} {told}.", STRONG)
    yield from totals_lines(report.totals)
    yield ""
    differing = [line for line in report.lines if line.difference]
    yield from (difference_line(line) for line in differing)
    if not differing:
        yield "Every line was as the book said."
    yield ""
    yield from to_do_lines(report)
    if report.not_counted:
        yield (f"Not counted: {', '.join(report.not_counted)}.", QUIET)
    yield ""
    yield f"Seal of all accounts: {report.seal}"
    yield (ABOUT_THE_SEAL, QUIET)


def totals_lines(found: CountTotals) -> Iterator[Piece]:
    """Return lines in tolerance, and differences net and absolute."""
    share = "" if found.share_within is None else f", {found.share_within * 100:.0f} %"
    yield f"Lines in tolerance: {found.within:,} of {found.lines:,}{share}."
    yield f"Differences: net {found.net:+,} pieces, absolute {found.absolute:,} pieces."
    if found.net_value is not None and found.absolute_value is not None:
        yield f"In money: net {found.net_value:+,.2f}, absolute {found.absolute_value:,.2f}."
    if found.without_cost:
        yield (f"{found.without_cost:,} lines that differ have no cost on record.", QUIET)


def difference_line(line: CountedLine) -> Piece:
    """Return one line that differs."""
    value = "" if line.value is None else f", {line.value:+,.2f}"
    told = f"{line.part} {place(line.store)}: book {line.book:,}, counted {line.counted:,}, "
    told += f"difference {line.difference:+,}{value}"
    return told if line.within else (f"{told}: out of tolerance", WARN)


def to_do_lines(report: CountReport) -> Iterator[Piece]:
    """Return what is to be done about it."""
    if doubtful := ", ".join(line.part for line in report.lines if not line.within):
        yield f"A second person counts, before anybody relies on it: {doubtful}."
    for each in report.below:
        yield (
            f"{each.part}: {each.left:,} left for use, below its minimum of {each.least:,}.",
            WARN,
        )
    for row in report.since:
        yield (
            f"{_told(row)} came after the count and was left out; if it was done before, count "
            "again."
        )
    for row in report.late:
        yield (
            f"{_told(row)} was booked after the sheet was printed: taken as done before the count."
        )


def _told(row: Movement) -> str:
    return f"{row.part}: {row.kind} of {row.qty:+,} of {row.date}"
