"""Steps with the stock: read what was typed, take the step, say what came of it."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from parts.cli import stock_tables
from parts.cli.answering import tell
from parts.cli.commands import DONE, NOTHING_TO_ANSWER
from parts.errors import InDoubt, KeyToAskWith, LongpoleError
from parts.records.stock import Reservation
from parts.records.stock_steps import Step, StepKind


class OneOfThree(LongpoleError):
    def __init__(self) -> None:
        super().__init__(
            "count a PART with --qty, print a --sheet, or book one that is --entered: one of these"
        )


def _taking(kind: StepKind) -> Callable[[argparse.Namespace], int]:
    return lambda options: _take(options, kind)


issue, receive, put_back = _taking("issue"), _taking("receive"), _taking("return")
scrap, transfer, care = _taking("scrap"), _taking("transfer"), _taking("care")


def count(options: argparse.Namespace) -> int:
    ways = (options.part is not None, options.sheet is not None, options.entered is not None)
    if sum(ways) != 1 or (options.qty is not None) != ways[0]:
        raise OneOfThree
    if options.sheet is not None:
        return _print_sheet(options)
    return _take(options, "count") if options.entered is None else _book_sheet(options)


def undo(options: argparse.Namespace) -> int:
    from parts.services import stock as asked
    from parts.services.hands import hand_here, new_key

    hand = hand_here()
    key = new_key() if options.key is None else options.key
    with _telling(key):
        posted = asked.undo(
            options.db,
            options.undone,
            hand,
            options.today,
            new_key=key,
            by=options.by or hand.who,
            note=options.note,
        )
    tell(options, stock_tables.posted_document(posted), stock_tables.undone_lines(posted))
    return DONE


def stock(options: argparse.Namespace) -> int:
    from parts.services import stock_cards

    last = None if options.all or options.json else stock_cards.LAST
    card = stock_cards.card(options.db, options.part, options.today, last)
    tell(options, stock_tables.card_document(card), stock_tables.card_lines(card))
    return DONE if card.stores else NOTHING_TO_ANSWER


def reserve(options: argparse.Namespace) -> int:
    from parts.services import reservations
    from parts.services.hands import hand_here

    promise = Reservation(
        part=options.part, qty=options.qty, for_=options.job, needed_on=options.needed
    )
    notes = reservations.reserve(options.db, promise, hand_here(), options.today)
    told = f"{options.qty} {options.part} are promised to {options.job}."
    _tell_promise(options, {"qty": options.qty, "notes": list(notes)}, [told, *notes])
    return DONE


def release(options: argparse.Namespace) -> int:
    from parts.services import reservations
    from parts.services.hands import hand_here

    qty = reservations.release(options.db, options.part, options.job, hand_here(), options.today)
    told = f"{qty} {options.part} are free again; {options.job} has no promise of them."
    _tell_promise(options, {"qty": qty, "notes": []}, [told])
    return DONE


def _tell_promise(options: argparse.Namespace, found: dict[str, Any], lines: list[str]) -> None:
    tell(options, {"part": options.part, "for": options.job, **found}, lines)


def _take(options: argparse.Namespace, kind: StepKind) -> int:
    from parts.services import stock as asked
    from parts.services.hands import hand_here, new_key

    hand = hand_here()
    at = getattr(options, "at", None)
    crane, position = (None, None) if at is None else asked.place(options.db, at)
    step = Step(
        key=new_key() if options.key is None else options.key,
        kind=kind,
        date=options.on or options.today,
        part=options.part,
        qty=getattr(options, "qty", 0),
        crane=crane,
        position=position,
        by=hand.who if options.by is None else options.by,
        **_typed(options),
    )
    with _telling(step.key):
        posted = asked.post(options.db, step, hand, options.today)
    lines = stock_tables.posted_lines(posted, fitted=kind == "issue" and position is not None)
    tell(options, stock_tables.posted_document(posted), lines)
    return DONE


@contextmanager
def _telling(key: str) -> Iterator[None]:
    """Where it is in doubt whether a step was kept, tell the key that makes asking again safe."""
    try:
        yield
    except InDoubt as doubt:
        raise KeyToAskWith(doubt, key) from doubt


_FACTS = {
    "store": "store",
    "bin": "bin",
    "condition": "condition",
    "serial": "serial",
    "expires": "expires_on",
    "to_store": "to_store",
    "to_bin": "to_bin",
    "to_condition": "to_condition",
    "to_expires": "to_expires_on",
    "job": "for_",
    "order": "order",
    "over": "over",
    "certificate": "certificate",
    "failed": "failed_on",
    "restored": "restored_on",
    "cause": "cause",
    "note": "note",
}
"""Words of the command line, each with the fact of a step that it gives."""


def _typed(options: argparse.Namespace) -> dict[str, Any]:
    typed = {
        fact: getattr(options, word) for word, fact in _FACTS.items() if hasattr(options, word)
    }
    return typed | {"consumed": tuple(getattr(options, "consumed", ()))}


def _print_sheet(options: argparse.Namespace) -> int:
    from parts.services import counts

    sheet = counts.sheet(
        options.db,
        options.today,
        store=options.store,
        bin_from=options.bin_from,
        bin_to=options.bin_to,
    )
    if not sheet.lines:
        tell(options, stock_tables.sheet_document(sheet), ["Nothing to count there."])
        return NOTHING_TO_ANSWER
    counts.write_sheet(sheet, Path(options.sheet))
    told = ["", f"The same sheet to fill in and book with --entered: {options.sheet}"]
    tell(options, stock_tables.sheet_document(sheet), counts.page_of(sheet) + told)
    return DONE


def _book_sheet(options: argparse.Namespace) -> int:
    from parts.services import counts
    from parts.services.hands import hand_here

    hand = hand_here()
    report = counts.enter_sheet(
        options.db,
        Path(options.entered),
        hand,
        options.today,
        counted_on=options.on or options.today,
        by=hand.who if options.by is None else options.by,
    )
    tell(options, stock_tables.report_document(report), stock_tables.report_lines(report))
    return DONE
