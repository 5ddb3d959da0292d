"""The documents that people hand over, written to one file."""

from __future__ import annotations

import argparse
from typing import Any

from parts.cli.answering import tell
from parts.cli.commands import DONE, NOTHING_TO_ANSWER
from parts.cli.tables import table
from parts.errors import NothingToReport
from parts.records.papers import Report


def report(options: argparse.Namespace) -> int:
    from parts.services import reports

    target = reports.free_target(options.target)
    try:
        made = reports.hand_over(options.db, options.today, target, options.budget)
    except NothingToReport as why:
        told = str(why)
        tell(options, {"written": None, "documents": []}, [f"{told[:1].upper()}{told[1:]}."])
        return NOTHING_TO_ANSWER
    tell(options, _document(made, options.target), _lines(made, options.target))
    return DONE


def _document(made: Report, where: str) -> dict[str, Any]:
    return {
        "written": where,
        "today": made.today.isoformat(),
        "seal": made.seal,
        "documents": [
            {"for": paper.reader, "title": paper.title, "rows": len(paper.rows)}
            for paper in made.papers
        ],
    }


def _lines(made: Report, where: str) -> list[str]:
    rows = ((paper.title, str(len(paper.rows)), paper.reader) for paper in made.papers)
    return [f"Written to {where}:", *table(("document", "rows", "for"), rows, "lrl")]
