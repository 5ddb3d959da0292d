"""What came of a step with the stock, as lines of text and as JSON documents."""

from __future__ import annotations

import datetime
from dataclasses import asdict
from typing import Any

from parts.cli.tables import CAUTION, table
from parts.records.copies import ABOUT_THE_SEAL
from parts.records.count_answers import CountReport, CountSheet
from parts.records.ledger import Posting
from parts.records.stock import Movement
from parts.records.stock_card import StockCard
from parts.records.stock_steps import Posted

Document = dict[str, Any]


def plain(value: Any) -> Any:
    """Records, days and tuples as JSON knows them."""
    if isinstance(value, dict):
        return {key: plain(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(each) for each in value]
    return value.isoformat() if isinstance(value, datetime.date) else value


def posted_document(posted: Posted) -> Document:
    found: Document = plain(asdict(posted))
    return found


def posted_lines(posted: Posted, *, fitted: bool = False) -> list[str]:
    """On hand before and after, what was booked, and how to undo it."""
    lines = [
        f"{posted.part} {_in(posted.store)}: {posted.before} on hand before, {posted.after} after."
    ]
    if posted.movements:
        lines += ["", *_movements(posted.movements), ""]
    else:
        lines.append("Nothing was booked.")
    lines += [_sentence(note) for note in posted.notes]
    if posted.movements and posted.kind not in ("care", "undo") and not posted.already:
        lines.append(f"Undo it with: longpole undo {posted.key}")
    return [*lines, "", CAUTION] if fitted else lines


def undone_lines(posted: Posted) -> list[str]:
    return [
        *posted_lines(posted),
        "Nothing was erased: the step and its reversal both stand in the journal.",
    ]


def _movements(rows: tuple[Movement, ...]) -> list[str]:
    header = ("kind", "qty", "store", "bin", "state", "use until", "serial", "at", "order", "key")
    return _filled(
        header,
        [
            (
                row.kind,
                f"{row.qty:+d}" if row.qty else "0",
                row.store or "",
                row.bin or "",
                (row.condition or "usable").replace("_", " "),
                _day(row.expires_on),
                row.serial or "",
                "/".join(filter(None, (row.crane, row.position))),
                row.order or "",
                row.key,
            )
            for row in rows
        ],
    )


def _filled(header: tuple[str, ...], rows: list[tuple[str, ...]]) -> list[str]:
    """A table without the columns in which nothing stands; the second is aligned right."""
    kept = [at for at, _ in enumerate(header) if any(row[at] for row in rows)]
    return table(
        [header[at] for at in kept], ([row[at] for at in kept] for row in rows), right=".r"
    )


def card_document(card: StockCard) -> Document:
    found: Document = plain(asdict(card))
    return found | {
        "book": card.book,
        "usable": card.usable,
        "last_counted": _day(card.last_counted),
    }


def card_lines(card: StockCard) -> list[str]:
    """Three stock figures in each store, promises, whole sets, and the last movements."""
    title = f"{card.part}: {card.description}" if card.description else card.part
    if not card.stores:
        return [title, "None in store.", *_promises(card), *_journal(card)]
    rows = (
        (
            each.store or "not named",
            str(each.book),
            str(each.usable),
            _day(each.last_counted) or "never",
            str(each.expired),
            str(each.quarantine),
            str(each.in_repair),
        )
        for each in card.stores
    )
    header = ("store", "book", "usable", "last counted", "past life", "quarantine", "in repair")
    lines = [title, "", *table(header, rows, "lrrlrrr"), ""]
    least = "" if card.min_stock is None else f"; at least {card.min_stock} are to be kept"
    lines.append(
        f"{card.book} on the book, {card.usable} usable, {card.free} promised to nobody{least}."
    )
    return [*lines, *_promises(card), *_sets(card), *_journal(card)]


def _promises(card: StockCard) -> list[str]:
    return [
        f"{row.qty} promised to {row.for_}"
        + (f", needed on {row.needed_on}." if row.needed_on else ".")
        for row in card.promises
    ]


def _sets(card: StockCard) -> list[str]:
    if card.sets is None:
        return []
    goes_with = ", ".join(f"{each.needed} {each.part}" for each in card.sets.members)
    lacks = ", ".join(f"{each.qty} {each.part}" for each in card.sets.lacks)
    costs = [each.cost for each in card.sets.lacks]
    known = [cost for cost in costs if cost is not None]
    cost = f" ({sum(known):,.2f})" if known and len(known) == len(costs) else ""
    more = f"; one more lacks {lacks}{cost}" if lacks else ""
    return [f"Whole sets ({goes_with}): {card.sets.whole}{more}."]


def _journal(card: StockCard) -> list[str]:
    if not card.postings:
        return ["No movement is on record."]
    header = ("date", "qty", "kind", "store", "for", "by", "entered", "key")
    rows = [_posting(each) for each in card.postings]
    return ["", "The last movements, latest first:", *_filled(header, rows)]


def _posting(posting: Posting) -> tuple[str, ...]:
    row = posting.movement
    place = "/".join(filter(None, (row.crane, row.position)))
    return (
        row.date.isoformat(),
        f"{row.qty:+d}" if row.qty else "0",
        row.kind,
        row.store or "",
        place or row.order or row.note or "",
        row.by or "",
        f"{posting.stamp.at} {posting.stamp.who}".strip(),
        row.key,
    )


def sheet_document(sheet: CountSheet) -> Document:
    """The lines of a sheet; it is blind here too."""
    found: Document = plain(asdict(sheet))
    return found


def report_document(report: CountReport) -> Document:
    found: Document = plain(asdict(report))
    return found


def report_lines(report: CountReport) -> list[str]:
    """Line by line, then net beside absolute, then what to do about it."""
    told = "was booked already; nothing was added" if report.already else "is booked"
    lines = [f"Count {report.sheet} of {report.counted_on} {told}.", "", *_counted(report), ""]
    lines += _totals(report)
    if doubtful := ", ".join(line.part for line in report.lines if not line.within):
        lines.append(f"A second person counts, before anybody relies on it: {doubtful}.")
    lines += [
        f"{each.part}: {each.left} left for use, below its minimum of {each.least}: order more."
        for each in report.below
    ]
    lines += [
        f"{row.part}: {row.kind} of {row.qty:+d} ({row.key}) came after the count and was left "
        "out; if it was done before, count again."
        for row in report.since
    ]
    lines += [
        f"{row.part}: {row.kind} of {row.qty:+d} ({row.key}) of {row.date} was booked after the "
        "sheet was printed: taken as done before the count."
        for row in report.late
    ]
    if report.not_counted:
        lines.append(f"Not counted: {', '.join(report.not_counted)}.")
    return [*lines, "", f"Seal of all accounts: {report.seal}", ABOUT_THE_SEAL]


def _counted(report: CountReport) -> list[str]:
    header = ("part", "description", "store", "book", "counted", "difference", "value", "", "key")
    return table(
        header,
        (
            (
                line.part,
                line.description or "",
                line.store or "",
                str(line.book),
                str(line.counted),
                f"{line.difference:+d}" if line.difference else "0",
                "" if line.value is None else f"{line.value:,.2f}",
                "" if line.within else "out of tolerance",
                line.movement or "",
            )
            for line in report.lines
        ),
        "lllrrrrll",
    )


def _totals(report: CountReport) -> list[str]:
    found = report.totals
    share = "no line" if found.share_within is None else f"{found.share_within * 100:.1f} %"
    lines = [
        f"Lines in tolerance: {found.within} of {found.lines}, {share}.",
        f"Differences: net {found.net:+d} pieces, absolute {found.absolute} pieces.",
    ]
    if found.net_value is not None and found.absolute_value is not None:
        lines.append(f"In money: net {found.net_value:,.2f}, absolute {found.absolute_value:,.2f}.")
    if found.without_cost:
        lines.append(f"{found.without_cost} differing lines have no cost on record.")
    return lines


def _in(store: str | None) -> str:
    return f"in {store}" if store else "in no named store"


def _sentence(note: str) -> str:
    return f"{note[:1].upper()}{note[1:]}."


def _day(day: datetime.date | None) -> str:
    return "" if day is None else day.isoformat()
