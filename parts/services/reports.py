"""The documents that people hand over, all from one reading of the database, in one new file."""

from __future__ import annotations

import datetime
import os
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from parts.errors import FileIsThere, NothingToReport, UnwritableFile
from parts.records.papers import Paper, Report
from parts.services import plans, purchases
from parts.services import risks as asked
from parts.services.collector import collector_paused
from parts.services.sites import known_as
from parts.services.today import LastCounted, today

if TYPE_CHECKING:
    from parts.calc.ranking.exposures import Exposures
    from parts.records.purchase_answers import ReorderLine

ENDINGS = (".html", ".xlsx")
Progress = Callable[[str], None]


def free_target(where: str) -> Path:
    """Where a report may be written: a new file whose name ends as one of the kinds there are.

    Raises FileIsThere for whatever is there already, a link too; UnwritableFile for other names.
    """
    try:
        target = Path(where).expanduser().absolute()
        if target.suffix.casefold() not in ENDINGS:
            raise UnwritableFile(where, "its name must end in .html or .xlsx")
        if os.path.lexists(target):
            raise FileIsThere(where)
        if not target.parent.is_dir():
            raise UnwritableFile(where, "there is no such folder")
    except (OSError, RuntimeError, ValueError) as refused:
        raise UnwritableFile(where, getattr(refused, "strerror", None) or "no such place") from None
    return target


def hand_over(
    database: str,
    day: datetime.date,
    target: Path,
    budget: float | None = None,
    progress: Progress | None = None,
) -> Report:
    """Write all documents of a day to a new file, with the plan of a budget where one is given.

    Raises NothingToReport where no crane in use has a position, FileIsThere where something has
    come there meanwhile. What `progress` raises ends it, and nothing is written.
    """
    made = _report(database, day, budget, progress)
    if progress is not None:
        progress("Writing the documents")
    _write(made, target)
    return made


def _report(
    database: str, day: datetime.date, budget: float | None, progress: Progress | None
) -> Report:
    from parts.store import ledger
    from parts.store.database import Database
    from parts.store.snapshots import snapshot_in

    with (
        closing(Database.open(database)) as opened,
        collector_paused(),
        opened.reading() as connection,
    ):
        snapshot = snapshot_in(connection, day, progress)
        counted, seal = ledger.last_counted(connection), ledger.seal_of_all(connection)
    exposed = asked.exposures(snapshot)
    if not len(exposed.outage):
        raise NothingToReport
    to_order = purchases.reorder(exposed)
    return Report(
        database=Path(known_as(database)).name,
        today=day,
        currency=snapshot.site.currency,
        cranes=len(exposed.outage.crane_names),
        positions=len(exposed.outage),
        seal=seal,
        papers=(
            *_of_the_fleet(exposed),
            *_of_purchasing(exposed, to_order, budget),
            *_of_the_storeroom(exposed, to_order, counted),
        ),
    )


def _write(made: Report, target: Path) -> None:
    """Write it whole or not at all."""
    from parts.exchange.papers.pages import page_bytes
    from parts.exchange.papers.sheets import sheets_bytes
    from parts.exchange.whole_files import write_new

    content = page_bytes(made) if target.suffix.casefold() == ".html" else sheets_bytes(made)
    try:
        write_new(target, content)
    except FileExistsError:
        raise FileIsThere(str(target)) from None
    except (OSError, ValueError) as refused:
        why = getattr(refused, "strerror", None) or "no such place"
        raise UnwritableFile(str(target), why) from None


def _of_the_fleet(exposed: Exposures) -> tuple[Paper, ...]:
    from parts.calc.ranking.findings import findings_of
    from parts.exchange.papers import fleet

    cranes, cost = exposed.outage.cranes, _cost(exposed)
    return (
        fleet.fleet_paper(cranes, cost),
        fleet.poles_paper(cranes),
        fleet.risks_paper(asked.risks(exposed), cost),
        fleet.watch_paper(asked.watch_list(exposed)),
        fleet.findings_paper(findings_of(exposed)),
    )


def _of_purchasing(
    exposed: Exposures, to_order: Sequence[ReorderLine], budget: float | None
) -> tuple[Paper, ...]:
    from parts.exchange.papers import purchasing

    currency, cost = exposed.snapshot.site.currency, _cost(exposed)
    papers = (
        purchasing.deadlines_paper(purchases.deadlines(exposed), cost),
        purchasing.to_order_paper(to_order, cost),
        purchasing.late_paper(purchases.late_orders(exposed)),
        purchasing.enquiries_paper(purchases.enquiries(exposed)),
    )
    if budget is None:
        return papers
    return (*papers, purchasing.plan_paper(plans.buy(exposed, budget), currency, cost))


def _of_the_storeroom(
    exposed: Exposures, to_order: Sequence[ReorderLine], counted: LastCounted
) -> tuple[Paper, ...]:
    from parts.calc.ranking.explanations import places_of_parts
    from parts.calc.stockroom.statement import statement_of
    from parts.exchange.papers import storeroom

    snapshot = exposed.snapshot
    waiting = today(exposed, counted).of("storeroom")
    statement = statement_of(snapshot, exposed.outage.market.stock)
    return (
        storeroom.reorder_paper(to_order),
        *storeroom.waiting_papers(waiting, snapshot.parts),
        storeroom.where_used_paper(statement, places_of_parts(exposed.outage)),
        storeroom.statement_paper(statement, snapshot.site.currency),
    )


def _cost(exposed: Exposures) -> str:
    """The title of a column of money."""
    return f"cost {exposed.snapshot.site.currency or ''}".strip()
