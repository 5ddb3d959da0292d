"""What the screens draw, as figures in tables and as JSON documents: nothing here needs eyes."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any

from parts.cli.tables import CAUTION, STATE_WORDS, days, money, table
from parts.records.picture_answers import (
    AgeAnswer,
    AgesAnswer,
    Effect,
    HeatAnswer,
    NeedEffects,
    NeedKind,
    NeedLine,
    Stand,
    SupplierDays,
)
from parts.records.shares import percent

Document = dict[str, Any]
NOT_KNOWN = "not known"
EFFECT_WORDS = {
    Effect.FAILED: "failed",
    Effect.DEAD: "dead",
    Effect.WEAKER: "weaker",
    Effect.CARRIES_ON: "",
}
STAND_WORDS = {
    Stand.BEYOND_RANGE: "beyond the range",
    Stand.BEYOND_MEAN: "beyond the mean",
    Stand.WITHIN: "within",
    Stand.NOT_KNOWN: NOT_KNOWN,
}
NO_INSPECTION = "An age is no inspection: within the range says nothing about a unit's state."


def heat_document(answer: HeatAnswer) -> Document:
    rows = [
        {
            **{name: value for name, value in asdict(row).items() if name != "cells"},
            "cells": {
                system: asdict(cell)
                for system, cell in zip(answer.systems, row.cells, strict=True)
                if cell is not None
            },
        }
        for row in answer.rows
    ]
    return {**asdict(answer), "systems": list(answer.systems), "rows": rows}


def heat_lines(answer: HeatAnswer, currency: str | None, first: int | None) -> list[str]:
    """The hottest cells as lines, the most first; those of which nothing is known at the head."""
    cells = [
        (row.crane, system, cell)
        for row in answer.rows
        for system, cell in zip(answer.systems, row.cells, strict=True)
        if cell is not None
    ]
    if not cells:
        return ["No position on any live crane: load a site book first."]
    cells.sort(key=lambda each: (each[2].value is not None, -(each[2].value or 0.0), each[:2]))
    unit = "lost days" if answer.unit == "days" else f"exposure {currency or ''}".strip()
    figure = days if answer.unit == "days" else money
    rows = (
        (crane, system, figure(cell.value), str(cell.positions), str(cell.unknown), cell.worst)
        for crane, system, cell in cells[:first]
    )
    header = ("crane", answer.by, unit, "positions", "not known", "worst")
    lines = table(header, rows, "llrrrl")
    if first is not None and len(cells) > first:
        lines.append(f"... and {len(cells) - first} more (--all shows them)")
    return [*lines, *(f"note: {note}" for note in answer.notes), "", CAUTION]


def lead_times_document(found: tuple[SupplierDays, ...]) -> Document:
    return {
        "suppliers": [
            {
                **asdict(each),
                "quoted_days": each.quoted_days,
                "actual_days": each.actual_days,
                "ratio": each.ratio,
                "late": each.late,
            }
            for each in found
        ]
    }


def lead_times_lines(found: tuple[SupplierDays, ...]) -> list[str]:
    """What each supplier quoted and took, in medians, with the range of the ratio."""
    if not found:
        return ["No supplier is recorded."]
    header = ("supplier", "received", "late", "quoted d", "took d", "ratio", "from", "to",
              "factor", "overdue")  # fmt: skip
    lines = table(header, map(_supplier, found), "lrrrrrrrrr")
    told = "ratio = days taken over days quoted, median; factor = what quotations are multiplied by"
    return [*lines, f"note: {told}"]


def _supplier(each: SupplierDays) -> tuple[str, ...]:
    ratios = [delivery.ratio for delivery in each.deliveries]
    return (
        each.supplier,
        str(len(ratios)),
        str(each.late),
        days(each.quoted_days),
        days(each.actual_days),
        _ratio(each.ratio),
        _ratio(min(ratios, default=None)),
        _ratio(max(ratios, default=None)),
        _ratio(each.factor),
        str(each.overdue),
    )


def _ratio(value: float | None) -> str:
    return NOT_KNOWN if value is None else f"{value:.2f}"


def ages_document(answer: AgesAnswer) -> Document:
    return {
        "part": answer.part,
        "counts": {stand.value: answer.counts.get(stand, 0) for stand in Stand},
        "by_half_lives": list(answer.by_half_lives),
        "ages": [
            {**asdict(each), "share": each.share, "stand": each.stand.value} for each in answer.ages
        ],
    }


def ages_lines(answer: AgesAnswer, first: int | None) -> list[str]:
    """Ages against lives, those that have used up most first."""
    if not answer.ages:
        return ["No live position holds it."]
    counts = ", ".join(
        f"{answer.counts.get(stand, 0)} {word}" for stand, word in STAND_WORDS.items()
    )
    header = ("crane", "position", "part", "age", "mean life", "10 %", "90 %", "in", "stands")
    lines = [f"{counts}.", "", *table(header, map(_age, answer.ages[:first]), "lllrrrrll")]
    if first is not None and len(answer.ages) > first:
        lines.append(f"... and {len(answer.ages) - first} more (--all shows them)")
    return [*lines, f"note: {NO_INSPECTION}", "", CAUTION]


def _age(each: AgeAnswer) -> tuple[str, ...]:
    figures = (each.age, each.mean, each.low, each.high)
    return (
        each.crane,
        each.position,
        each.part or "not recorded",
        *(NOT_KNOWN if figure is None else f"{figure:,.1f}" for figure in figures),
        each.basis or "",
        STAND_WORDS[each.stand],
    )


def needs_document(crane: str, lines: tuple[NeedLine, ...], effects: NeedEffects) -> Document:
    return {
        "crane": crane,
        "needs": [{**asdict(line), "kind": line.kind.value} for line in lines],
        "when_failed": {
            **asdict(replace(effects, effects={}, working={})),
            "working": [
                {"needed_by": name, "group": group, "working": count}
                for (name, group), count in effects.working.items()
            ],
            "effects": {name: effect.value for name, effect in effects.effects.items()},
            "state": effects.state.value,
        },
    }


def needs_lines(lines: tuple[NeedLine, ...], effects: NeedEffects) -> list[str]:
    """The needs indented, with what is failed, dead or weaker marked by a word."""
    if not lines:
        return ["No position of this crane is recorded."]
    found = [_need(line, effects) for line in lines]
    if effects.failed:
        found += [
            "",
            f"If these fail: {', '.join(effects.failed)}: crane {STATE_WORDS[effects.state]}, "
            f"loses {percent(effects.lost_share)} of its work.",
            f"Dead: {', '.join(effects.functions_dead) or 'no function'}.",
            f"Weaker: {', '.join(effects.functions_weaker) or 'no function'}.",
        ]
    if effects.decide is not None:
        found.append(f"What fails {effects.decide}.")
    return [*found, "", CAUTION]


def _need(line: NeedLine, effects: NeedEffects) -> str:
    indent = "  " * line.depth
    if line.kind is NeedKind.GROUP:
        working = effects.working[line.needed_by or "", line.name]
        left = f" <- {working} work" if working != line.members else ""
        return f"{indent}{line.at_least} of {line.members} ({line.name}):{left}"
    texts = [line.name]
    if line.lost_share is not None:
        texts.append(f"({percent(line.lost_share)} of the work)")
    if line.part is not None:
        texts.append(f"[{line.part}]")
    if line.again:
        texts.append("(unfolded above)")
    word = EFFECT_WORDS[effects.effects[line.name]]
    return indent + " ".join([*texts, f"<- {word}"] if word else texts)
