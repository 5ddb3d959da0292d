"""Answers as lines of text, for a terminal, a pipe or a screen reader."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from parts.records import cautions
from parts.records.answers import (
    Explanation,
    Finding,
    LeadTimeAnswer,
    LoadReport,
    PositionOutage,
    RouteAnswer,
    Step,
    TogetherOutage,
    WayAnswer,
)
from parts.records.shares import percent
from parts.records.shown import shown
from parts.records.states import State

if TYPE_CHECKING:
    from parts.calc.failing.outages import FleetOutage
    from parts.calc.ranking.exposures import Exposures

CAUTION = cautions.IN_SHORT
STATE_WORDS = {State.DOWN: "down", State.REDUCED: "reduced", State.IN_SERVICE: "in service"}
WIDEST_CELL = 44


def table(header: Sequence[str], rows: Iterable[Sequence[str]], right: str = "") -> list[str]:
    """Columns padded to their widest cell; `right` holds an `r` for each column that is
    aligned right, any other letter for the rest."""
    cells = [list(header), *([_cut(shown(cell)) for cell in row] for row in rows)]
    widths = [max(len(row[at]) for row in cells) for at in range(len(header))]
    return [
        "  ".join(
            cell.rjust(width) if right[at : at + 1] == "r" else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in cells
    ]


def _cut(cell: str) -> str:
    return cell if len(cell) <= WIDEST_CELL else cell[: WIDEST_CELL - 1] + "…"


def days(value: float | None) -> str:
    return "not known" if value is None else f"{value:,.1f}"


def money(value: float | None, currency: str | None = None) -> str:
    if value is None:
        return "not known"
    return f"{value:,.0f} {currency}" if currency else f"{value:,.0f}"


def outage(fleet: FleetOutage, exposed: Exposures, first: int) -> list[str]:
    """The ranking, with the long pole of its first line."""
    answers = [fleet.row(rank) for rank in range(min(first, len(fleet)))]
    if not answers:
        return ["No position on any live crane: load a site book first."]
    header = ("crane", "position", "part", "state", "lost", "restore d", "long run d", "lost days",
              "waits for")  # fmt: skip
    lines = table(header, (_outage_row(each, exposed) for each in answers), "llllrrrrl")
    if len(fleet) > len(answers):
        lines.append(f"... and {len(fleet) - len(answers)} more (--all shows them)")
    known = next((each for each in answers if each.restore_days is not None), None)
    if known is not None:
        lines += ["", f"The long pole of {known.crane}/{known.position}:"]
        lines += long_pole(known.long_pole)
    return [*lines, "", CAUTION]


def _outage_row(answer: PositionOutage, exposed: Exposures) -> tuple[str, ...]:
    row = exposed.fleet.row(answer.crane, answer.position)
    mark = " (assumed)" if answer.assumed else ""
    return (
        answer.crane,
        answer.position,
        answer.part or "not recorded",
        STATE_WORDS[answer.state],
        percent(answer.lost_share),
        days(answer.restore_days) + mark,
        days(exposed.position(row).expected_restore_days),
        days(answer.lost_days),
        answer.waits_for or answer.reason,
    )


def long_pole(steps: tuple[Step, ...]) -> list[str]:
    lines = [
        f"  {step.days:8.1f} d  {step.step}{' (assumed)' if step.assumed else ''}" for step in steps
    ]
    return [*lines, f"  {sum(step.days for step in steps):8.1f} d  in all"]


def together(cranes: tuple[TogetherOutage, ...], currency: str | None) -> list[str]:
    lines = []
    for each in cranes:
        lost = ", ".join(each.functions_lost) or "nothing"
        lines.append(
            f"{each.crane}: {STATE_WORDS[each.state]}, loses {percent(each.lost_share)} "
            f"of its work ({lost}); restored in {days(each.restore_days)} days, "
            f"{days(each.lost_days)} lost days, cost {money(each.cost, currency)}"
        )
        for exchange in each.exchanges:
            lines.append(f" exchange {exchange.replaced} for {', '.join(exchange.covers)}:")
            lines += long_pole(exchange.long_pole) if exchange.long_pole else ["  no way known"]
    return [*lines, "", "Exchanges run in parallel.", CAUTION]


def lead_time(answer: LeadTimeAnswer) -> list[str]:
    assumed = ", by assumption" if answer.assumed else ""
    lines = [
        f"{answer.qty} x {answer.part}: {days(answer.days_mean)} days on average, "
        f"{days(answer.days_confident)} days with {percent(answer.confidence)} confidence{assumed}",
        "",
    ]
    rows = (
        (
            way.kind,
            way.part,
            way.source,
            "any" if way.qty is None else str(way.qty),
            days(way.days_mean),
            days(way.days_confident),
            "" if way.price is None else f"{way.price:,.2f}",
            "" if way.landed_price is None else f"{way.landed_price:,.2f}",
            order_terms(way),
            "yes" if way.usable else "no",
            "; ".join(filter(None, (way.why_not, *way.notes))),
        )
        for way in answer.ways
    )
    header = ("way", "part", "from", "qty", "days", "confident", "price",
              "landed", "an order", "usable", "why")  # fmt: skip
    lines += table(header, rows, "lllrrrrrlll")
    if answer.route is not None:
        lines += ["", *route(answer.route)]
    return [*lines, "", *(f"({note})" for note in answer.notes)]


def order_terms(way: WayAnswer) -> str:
    """What of the landed price is not the price: the least that is sold, and the order itself."""
    least = f"at least {way.min_qty}" if way.min_qty > 1 else ""
    return ", ".join(
        filter(None, (least, f"costs {money(way.order_cost)}" if way.order_cost else ""))
    )


def route(answer: RouteAnswer) -> list[str]:
    lines = [
        f"Route {answer.route}: longest path of the means {answer.mean_critical_path:.1f} days, "
        f"mean of the longest path {answer.simulated_mean:.1f} days (simulated)"
    ]
    lines += table(
        ("operation", "start", "finish", "slack", ""),
        (
            (
                each.operation,
                f"{each.start:.1f}",
                f"{each.finish:.1f}",
                f"{each.slack:.1f}",
                "done" if each.done else "critical" if each.critical else "",
            )
            for each in answer.operations
        ),
        "lrrrl",
    )
    for start in answer.head_starts:
        cost = "cost not known" if start.cost is None else f"costs {start.cost:,.0f}"
        lines.append(f"Ahead: {start.operation} saves {start.saves_days:.1f} days, {cost}")
    return lines


def explanation(answer: Explanation) -> list[str]:
    lines = [answer.sentence, ""]
    lines += [
        f"  {term.name}: {term.value}" + (f"  [{term.record}]" if term.record else "")
        for term in answer.terms
    ]
    if answer.outage is not None and answer.outage.long_pole:
        lines += ["", "The long pole:", *long_pole(answer.outage.long_pole)]
    if answer.where_used:
        places = ", ".join(f"{crane}/{place}" for crane, place in answer.where_used[:10])
        more = len(answer.where_used) - 10
        lines += ["", f"Sits in {places}" + (f" and {more} more places" if more > 0 else "")]
    return [*lines, "", CAUTION]


def findings(found: tuple[Finding, ...], first: int) -> list[str]:
    if not found:
        return ["Nothing found."]
    lines = []
    for each in found[:first]:
        place = "/".join(filter(None, (each.crane, each.position))) or each.part or "site"
        lines.append(f"{each.severity.value}: {place}: {each.text} [{each.rule}; {each.source}]")
    if len(found) > first:
        lines.append(f"... and {len(found) - first} more (--all shows them)")
    return [*lines, "", CAUTION]


def load(report: LoadReport) -> list[str]:
    did = "Loaded" if report.written else "Would load"
    counts = [
        f"{name}: " + ", ".join(
            f"{number} {word}"
            for word, number in (
                ("new", report.added.get(name, 0)),
                ("changed", report.updated.get(name, 0)),
                ("as before", report.unchanged.get(name, 0)),
            )
            if number
        )
        for name in {**report.added, **report.updated, **report.unchanged}
    ]  # fmt: skip
    changed = report.added or report.updated
    nothing = [] if changed else ["Nothing is new: the database already holds all of it."]
    return [f"{did} (nothing is ever deleted):", *(f"  {line}" for line in counts), *nothing]
