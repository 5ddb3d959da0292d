"""The documents that people hand over, written to one file."""

from __future__ import annotations

import argparse
from typing import Any

from parts.cli.answering import tell
from parts.cli.commands import DONE, NOTHING_TO_ANSWER
from parts.cli.tables import table
from parts.records.papers import Report


def report(options: argparse.Namespace) -> int:
    from parts.services import reports

    target = reports.free_target(options.target)
    made = reports.report(options.db, options.today, options.budget)
    if made is None:
        nothing: dict[str, Any] = {"written": None, "documents": []}
        tell(options, nothing, ["No position on any live crane: load a site book first."])
        return NOTHING_TO_ANSWER
    reports.write_report(made, target)
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
