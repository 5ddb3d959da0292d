"""The pictures of the screens as commands: each asks one service and prints figures."""

from __future__ import annotations

import argparse

from parts.cli import picture_tables
from parts.cli.answering import snapshot_of, tell
from parts.cli.commands import DONE, FIRST, NOTHING_TO_ANSWER


def heat(options: argparse.Namespace) -> int:
    from parts.services import pictures
    from parts.services.risks import exposures

    snapshot = snapshot_of(options)
    found = pictures.heat(exposures(snapshot), options.by, options.unit)
    first = None if options.all else FIRST
    lines = picture_tables.heat_lines(found, snapshot.site.currency, first)
    tell(options, picture_tables.heat_document(found), lines)
    return DONE if found.rows else NOTHING_TO_ANSWER


def lead_times(options: argparse.Namespace) -> int:
    from parts.services import pictures

    found = pictures.promised_and_real(snapshot_of(options))
    document = picture_tables.lead_times_document(found)
    tell(options, document, picture_tables.lead_times_lines(found))
    return DONE if found else NOTHING_TO_ANSWER


def ages(options: argparse.Namespace) -> int:
    from parts.services import pictures
    from parts.services.risks import exposures

    found = pictures.ages(exposures(snapshot_of(options)), options.part)
    lines = picture_tables.ages_lines(found, None if options.all else FIRST)
    tell(options, picture_tables.ages_document(found), lines)
    return DONE if found.ages else NOTHING_TO_ANSWER


def needs(options: argparse.Namespace) -> int:
    from parts.services import outages, pictures

    fleet = outages.outage(snapshot_of(options))
    graph = pictures.needs_graph(fleet, options.crane)
    for position in options.fail:
        outages.position_row(fleet, options.crane, position)
    effects = graph.when_failed(options.fail)
    document = picture_tables.needs_document(options.crane, graph.lines, effects)
    tell(options, document, picture_tables.needs_lines(graph.lines, effects))
    return DONE if graph.lines else NOTHING_TO_ANSWER
