"""Each command: ask one service, print its answer as a table or as JSON, tell the exit status."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from parts.cli import (
    compare_tables,
    documents,
    find_tables,
    plan_tables,
    purchase_tables,
    risk_tables,
    role_tables,
    simulation_tables,
    tables,
    today_tables,
)
from parts.cli.answering import snapshot_of, tell
from parts.errors import NoSuchPlan
from parts.records.answers import LoadReport
from parts.records.shown import shown

Command = Callable[[argparse.Namespace], int]
DONE, NOTHING_TO_ANSWER, BAD_INPUT = 0, 1, 2
FOUND_SOMETHING = NOTHING_TO_ANSWER
FIRST = 20
PROGRESS_EVERY = 20_000


class AddCommand(Protocol):
    def __call__(self, name: str, does: Command, says: str) -> argparse.ArgumentParser: ...


def screens(options: argparse.Namespace) -> int:
    from tui.app import run

    return run(options.db, options.today, mouse=not options.no_mouse)


def load(options: argparse.Namespace) -> int:
    from parts.services.books import load_book

    report = load_book(
        Path(options.book), options.db, dry_run=options.dry_run, progress=_progress()
    )
    return _loaded(report, options)


def demo(options: argparse.Namespace) -> int:
    from parts.services.books import load_demo

    return _loaded(load_demo(options.db), options)


def save(options: argparse.Namespace) -> int:
    from parts.services.books import save_book

    save_book(options.db, Path(options.book))
    tell(options, {"saved": options.book}, [f"Saved to {options.book}."])
    return DONE


def roles(options: argparse.Namespace) -> int:
    from parts.services.roles import set_up_roles

    found = set_up_roles(options.db)
    tell(options, role_tables.document(found), role_tables.lines(found))
    return DONE


def outage(options: argparse.Namespace) -> int:
    from parts.services import outages
    from parts.services.explanations import position_named
    from parts.services.risks import exposures

    snapshot = snapshot_of(options)
    fleet = outages.outage(snapshot, options.crane, confident=options.confident)
    whole = fleet if options.crane is None else outages.outage(snapshot)
    exposed = exposures(snapshot, whole)
    document = documents.outage(fleet, exposed, options.order) if options.json else {}
    if options.fail:
        pairs = [position_named(snapshot, text) for text in options.fail]
        together = outages.together(snapshot, pairs, whole)
        document["together"] = documents.together(together)
        tell(options, document, tables.together(together, snapshot.site.currency))
        return DONE
    first = len(fleet) if options.all else FIRST
    tell(options, document, [] if options.json else tables.outage(fleet, exposed, first))
    return DONE if len(fleet) else NOTHING_TO_ANSWER


def risks(options: argparse.Namespace) -> int:
    from parts.services import risks as asked

    snapshot = snapshot_of(options)
    top = options.top or (None if options.json or options.all else FIRST)
    found = asked.risks(asked.exposures(snapshot), options.by, top)
    tell(
        options,
        documents.risks(found),
        risk_tables.risks(found, options.by, snapshot.site.currency),
    )
    return DONE if found else NOTHING_TO_ANSWER


def likely(options: argparse.Namespace) -> int:
    from parts.services import risks as asked

    answer = asked.likely(asked.exposures(snapshot_of(options)))
    first = None if options.all else FIRST
    tell(options, documents.likely(answer), risk_tables.likely(answer, first))
    return DONE if answer.positions else NOTHING_TO_ANSWER


def lead_time(options: argparse.Namespace) -> int:
    from parts.services import lead_times

    answer = lead_times.lead_time(snapshot_of(options), options.part, options.qty)
    tell(options, documents.lead_time(answer), tables.lead_time(answer))
    return DONE if answer.days_mean is not None else NOTHING_TO_ANSWER


def last_buy(options: argparse.Namespace) -> int:
    from parts.services import purchases
    from parts.services.risks import exposures

    snapshot = snapshot_of(options)
    answer = purchases.last_buy(exposures(snapshot), options.part, options.until)
    lines = purchase_tables.last_buy_lines(answer, snapshot.site.currency)
    tell(options, purchase_tables.last_buy_document(answer), lines)
    return DONE


def purchases(options: argparse.Namespace) -> int:
    from parts.services import purchases as asked
    from parts.services.risks import exposures

    snapshot = snapshot_of(options)
    exposed = exposures(snapshot)
    first = None if options.all else FIRST
    deadlines, reorder = asked.deadlines(exposed), asked.reorder(exposed)
    late, enquiries = asked.late_orders(exposed), asked.enquiries(exposed)
    document = {
        **purchase_tables.deadlines_document(deadlines),
        **purchase_tables.reorder_document(reorder),
        **purchase_tables.late_orders_document(late),
        **purchase_tables.enquiries_document(enquiries),
    }
    lines = [
        *purchase_tables.deadlines_lines(deadlines, snapshot.site.currency),
        "",
        *purchase_tables.reorder_lines(reorder, first),
        "",
        *purchase_tables.late_orders_lines(late),
        "",
        *purchase_tables.enquiries_lines(enquiries),
    ]
    once = [*(line for line in lines if line != tables.CAUTION), tables.CAUTION]
    tell(options, document, once)
    return DONE


def today(options: argparse.Namespace) -> int:
    from parts.services import today as asked
    from parts.services.risks import exposures

    answer = asked.today(exposures(snapshot_of(options)), asked.last_counted(options.db))
    people = (answer.of(options.person),) if options.person else answer.people
    tell(options, today_tables.document(answer, people), today_tables.lines(people))
    return DONE if any(each.lines for each in people) else NOTHING_TO_ANSWER


def buy(options: argparse.Namespace) -> int:
    from parts.services import plans
    from parts.services.risks import exposures

    snapshot = snapshot_of(options)
    exposed = exposures(snapshot)
    if options.lost_days is not None:
        answer = plans.buy_for_lost_days(exposed, options.lost_days)
    elif options.share is not None:
        answer = plans.buy_for_share(exposed, options.share)
    else:
        answer = plans.buy(exposed, options.budget)
    if answer is None:
        raise NoSuchPlan
    lines = plan_tables.buy_lines(answer, snapshot.site.currency)
    tell(options, plan_tables.buy_document(answer), lines)
    return DONE


def compare(options: argparse.Namespace) -> int:
    from parts.services import comparisons
    from parts.services.risks import exposures

    snapshot = snapshot_of(options)
    answer = comparisons.compare(exposures(snapshot), options.budget, options.years)
    first = None if options.all else FIRST
    lines = compare_tables.lines(answer, snapshot.site.currency, first)
    tell(options, compare_tables.document(answer), lines)
    return DONE


def forecast(options: argparse.Namespace) -> int:
    from parts.services import plans
    from parts.services.risks import exposures

    snapshot = snapshot_of(options)
    answer = plans.forecast(exposures(snapshot), options.years, options.budget)
    lines = plan_tables.forecast_lines(answer, snapshot.site.currency)
    tell(options, plan_tables.forecast_document(answer), lines)
    return DONE


def simulate(options: argparse.Namespace) -> int:
    from parts.services.simulations import simulation

    plan = None if options.plan is None else Path(options.plan)
    answer = simulation(
        snapshot_of(options), plan=plan, runs=options.runs, years=options.years, seed=options.seed
    )
    tell(options, simulation_tables.document(answer), simulation_tables.lines(answer))
    return DONE if answer.cranes else NOTHING_TO_ANSWER


def find(options: argparse.Namespace) -> int:
    from parts.services import finding

    index = finding.index_of(snapshot_of(options))
    listed = finding.LISTED if options.json else FIRST
    most = len(index.things) if options.all else listed
    answer = finding.find(index, " ".join(options.text), most)
    tell(options, find_tables.document(answer), find_tables.lines(answer))
    return DONE if answer.hits else NOTHING_TO_ANSWER


def explain(options: argparse.Namespace) -> int:
    from parts.services import explanations
    from parts.services.risks import exposures

    answer = explanations.explain(exposures(snapshot_of(options)), options.subject)
    tell(options, documents.explanation(answer), tables.explanation(answer))
    return DONE


def check(options: argparse.Namespace) -> int:
    from parts.services.checks import findings

    found = findings(snapshot_of(options))
    first = len(found) if options.all else FIRST
    tell(options, documents.findings(found), tables.findings(found, first))
    return FOUND_SOMETHING if found else DONE


def _loaded(report: LoadReport, options: argparse.Namespace) -> int:
    if report.faults:
        _print_faults(report, options)
        return BAD_INPUT
    tell(options, documents.load(report), tables.load(report))
    return DONE


def _print_faults(report: LoadReport, options: argparse.Namespace) -> None:
    """The first fault and how many more there are; a dry run tells all."""
    tell(options, documents.load(report), [])
    first, *others = (shown(fault.sentence()) for fault in report.faults)
    if getattr(options, "dry_run", False):
        for sentence in (first, *others):
            print(sentence, file=sys.stderr)
    else:
        more = f" and {len(others)} more" if others else ""
        print(f"{first}{more}", file=sys.stderr)


def _progress() -> Callable[[str, int], None] | None:
    """Tell how far a long load is, on a terminal only."""
    if not sys.stderr.isatty():
        return None
    last: dict[str, int] = {}

    def tell(what: str, rows_so_far: int) -> None:
        if rows_so_far - last.get(what, 0) >= PROGRESS_EVERY:
            last[what] = rows_so_far
            print(f"\r{shown(what)}: {rows_so_far:,} rows ", end="", file=sys.stderr, flush=True)

    return tell
