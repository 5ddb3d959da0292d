"""What if, from the command line: one question, today beside then, nothing written."""

from __future__ import annotations

import argparse

from parts.cli import what_if_tables
from parts.cli.answering import snapshot_of, tell
from parts.cli.commands import DONE, FIRST, NOTHING_TO_ANSWER
from parts.errors import LongpoleError
from parts.records.settings import plain_number
from parts.records.snapshot import Snapshot
from parts.records.what_if_answers import Question


class NotANumber(LongpoleError):
    def __init__(self, option: str, text: str, why: str) -> None:
        super().__init__(f"{option}: '{text}' {why}")


def what_if(options: argparse.Namespace) -> int:
    from parts.services import what_if as asked
    from parts.services.risks import exposures

    snapshot = snapshot_of(options)
    question = _question(options, snapshot)
    exposed = exposures(snapshot)
    most = len(snapshot.positions) if options.all or options.json else FIRST
    found = asked.ask(exposed, question, most)
    lines = what_if_tables.lines(question, found, snapshot.site.currency, most)
    tell(options, what_if_tables.document(question, found), lines)
    return DONE if len(exposed.outage) else NOTHING_TO_ANSWER


def _question(options: argparse.Namespace, snapshot: Snapshot) -> Question:
    """The question that the one option given stands for."""
    from parts.services.explanations import position_named

    if options.fail:
        places = tuple(dict.fromkeys(position_named(snapshot, text) for text in options.fail))
        found = Question("fail", places=places)
    elif options.quote:
        supplier, part, days = options.quote
        found = Question("quote", (supplier, part), _number("--quote", days))
    elif options.spare:
        part, *units = options.spare
        found = Question("spare", (part,), _number("--spare", " ".join(units) or "1"))
    elif options.upgrade:
        found = Question("upgrade", tuple(dict.fromkeys(options.upgrade)))
    elif options.close is not None:
        found = Question("close", (options.close,))
    elif options.retire is not None:
        found = Question("retire", (options.retire,))
    elif options.km is not None:
        found = Question("loads", number=options.km)
    else:
        found = Question("hours", number=options.hours_factor)
    return found


def _number(option: str, text: str) -> float:
    try:
        value = plain_number(text)
    except ValueError as wrong:
        raise NotANumber(option, text, str(wrong)) from None
    if value < 0.0:
        raise NotANumber(option, text, "is negative")
    return value
