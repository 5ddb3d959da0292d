"""What the maintenance lead hands over: the fleet with its long poles, the risks, what fades from
the market, the findings.

Figures are those of the answers; here they only find their columns.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from parts.records.answers import CraneOutage, Finding, PositionOutage
from parts.records.papers import Cell, Column, Paper, Row, known
from parts.records.risk_answers import PartOutlook, PartRisk, firmness
from parts.records.states import Severity, State

READER = "the maintenance lead"
RISKS_IN_PRINT = 20
_STATES = {State.DOWN: "▼ down", State.REDUCED: "◆ reduced", State.IN_SERVICE: "● in service"}
_ASK_FIRST = "◆ ask first"
_SEVERITIES = {
    Severity.DANGER: "▲ danger",
    Severity.WARNING: "! warning",
    Severity.NOTE: "· note",
}


def fleet_paper(cranes: Sequence[CraneOutage], cost: str) -> Paper:
    """Crane by crane the position that would leave it down longest; `cost` heads a money column."""
    return Paper(
        reader=READER,
        title="Fleet",
        says=(
            "What would leave each crane down longest if it failed today. Days are calendar days; "
            "lost days are those down or reduced, weighted by the share of the work that is lost.",
        ),
        columns=(
            *map(Column, ("crane", "name", "bay", "position", "part", "description", "state")),
            Column("work lost", "share"), Column("restore days", "days"),
            Column("lead time assumed"), Column("lost days", "days"), Column(cost, "money"),
            Column("waits for"), Column("for a qualified person to decide"),
            Column("positions not known", "whole"),
        ),
        rows=tuple(_crane_row(each, each.worst) for each in cranes if each.worst is not None),
        nothing="No position on any crane in use.",
    )  # fmt: skip


def _crane_row(each: CraneOutage, worst: PositionOutage) -> Row:
    return (
        each.crane,
        each.name,
        each.bay,
        worst.position,
        worst.part or "not recorded",
        worst.description,
        _STATES[worst.state] if worst.decide is None else _ASK_FIRST,
        worst.lost_share,
        known(worst.restore_days),
        "yes" if worst.assumed else "",
        known(worst.lost_days),
        known(worst.cost),
        worst.waits_for or worst.reason,
        worst.decide,
        each.unknown,
    )


def poles_paper(cranes: Sequence[CraneOutage]) -> Paper:
    """The chain that sets the restore date of each crane's worst position, step by step."""
    return Paper(
        reader=READER,
        title="Long poles",
        says=("Why it takes so long: the steps of a crane add up to its restore days.",),
        columns=(
            Column("crane"), Column("position"), Column("step", "whole"), Column("what"),
            Column("days", "days"), Column("assumed"), Column("record"),
        ),
        rows=tuple(row for each in cranes for row in _steps(each)),
        nothing="Of no crane a way to restore it is known.",
    )  # fmt: skip


def _steps(each: CraneOutage) -> Iterator[Row]:
    for number, step in enumerate(each.worst.long_pole if each.worst else (), start=1):
        assumed = "yes" if step.assumed else ""
        position = each.worst.position if each.worst else ""
        yield each.crane, position, number, step.step, step.days, assumed, step.record


def risks_paper(found: Sequence[PartRisk], cost: str) -> Paper:
    """The ranking with its drivers and how firm each place is."""
    return Paper(
        reader=READER,
        title="Risks",
        says=(
            "Parts ranked by what a year may take through them; failures, lost days and cost are "
            "those of a year. What nobody knows stands at the head. Supply runs from 0 to 100, "
            "the higher the harder to get.",
        ),
        columns=(
            Column("rank", "whole"), Column("part"), Column("description"),
            Column("failures", "figure"), Column("lost days", "days"), Column(cost, "money"),
            Column("supply", "figure"), Column("age", "figure"), Column("sources", "figure"),
            Column("lead time", "figure"), Column("waits for"), Column("worst crane"),
            Column("its lost days", "days"), Column("how firm the rank is"),
            Column("ahead of the next", "share"), Column("positions not known", "whole"),
        ),
        rows=tuple(_risk_row(rank, each) for rank, each in enumerate(found, start=1)),
        nothing="No part sits in a position of a crane in use.",
        first=RISKS_IN_PRINT,
    )  # fmt: skip


def _risk_row(rank: int, each: PartRisk) -> Row:
    drivers = {driver.driver: driver.value for driver in each.drivers}
    return (
        rank,
        each.part,
        each.description,
        known(each.failures_next_year),
        known(each.exposure_days),
        known(each.exposure_cost),
        known(each.supply_score),
        *(known(drivers.get(name)) for name in ("age", "sources", "lead_time")),
        each.waits_for,
        each.worst_crane,
        known(each.worst_lost_days),
        firmness(each.top10_share),
        each.ahead_share,
        len(each.unknown_positions),
    )


def watch_paper(watched: Sequence[PartOutlook]) -> Paper:
    """Parts whose time on the market runs out."""
    return Paper(
        reader=READER,
        title="Watch list",
        says=(
            "Parts that will soon be hard to get: those with a last day first, then by the chance "
            "that they can still be bought in three years.",
        ),
        columns=(
            *map(Column, ("part", "description", "stage")), Column("last day", "day"),
            *(Column(f"to be had in {years} years", "share") for years in (1, 3, 5, 10)),
            Column("restoring takes half as long again from"), Column("asked for a year", "figure"),
        ),
        rows=tuple(map(_watch_row, watched)),
        nothing="No part in use is known to be leaving the market.",
    )  # fmt: skip


def _watch_row(each: PartOutlook) -> Row:
    chances: tuple[Cell, ...] = tuple(known(each.obtainable[years]) for years in (1, 3, 5, 10))
    jump = None if each.jump_year is None else str(each.jump_year)
    asked = each.demand_per_year
    return each.part, each.description, each.stage, each.closes_on, *chances, jump, asked


def findings_paper(found: Sequence[Finding]) -> Paper:
    """What a careful person would want to know."""
    return Paper(
        reader=READER,
        title="Findings",
        says=("What a careful person would want to know; a qualified person decides.",),
        columns=tuple(
            map(Column, ("severity", "crane", "position", "part", "what", "rule", "source"))
        ),
        rows=tuple(
            (_SEVERITIES[each.severity], each.crane, each.position, each.part, each.text,
             each.rule, each.source)
            for each in found
        ),
        nothing="Nothing found.",
    )  # fmt: skip
