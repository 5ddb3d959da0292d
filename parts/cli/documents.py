"""Answers as JSON documents, with the field names that are promised."""

from __future__ import annotations

import datetime
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from parts.records.answers import (
    Explanation,
    Finding,
    LeadTimeAnswer,
    LoadReport,
    PositionOutage,
    Step,
    TogetherOutage,
    WayAnswer,
)
from parts.records.risk_answers import CraneRisk, LikelyAnswer, PartRisk, PositionRisk

if TYPE_CHECKING:
    from parts.calc.failing.outages import FleetOutage
    from parts.calc.ranking.exposures import Exposures

Document = dict[str, Any]


def outage(fleet: FleetOutage, exposed: Exposures, order: int) -> Document:
    """Outages today, with what a year may take; positions in rank order."""
    return {
        "today": fleet.today.isoformat(),
        "positions": [
            position(answer, exposed.position(fleet.fleet.row(answer.crane, answer.position)))
            for answer in map(fleet.row, range(len(fleet)))
        ],
        "cranes": [crane(exposed.crane(name, order)) for name in fleet.crane_names],
    }


def crane(risk: CraneRisk) -> Document:
    return {**asdict(risk), "cut_sets": [list(each) for each in risk.cut_sets]}


def position(answer: PositionOutage, risk: PositionRisk) -> Document:
    return {
        "crane": answer.crane,
        "position": answer.position,
        "part": answer.part,
        "description": answer.description,
        "state": answer.state.value,
        "lost_share": answer.lost_share,
        "restore_days": answer.restore_days,
        "expected_restore_days": risk.expected_restore_days,
        "confident_restore_days": answer.confident_days,
        "hands_on_days": answer.hands_on_days,
        "lost_days": answer.lost_days,
        "cost": answer.cost,
        "assumed": answer.assumed,
        "hours_assumed": answer.hours_assumed,
        "load_bearing": answer.load_bearing,
        "decide": answer.decide,
        "replaced": answer.replaced,
        "fitted": answer.fitted,
        "functions_lost": list(answer.functions_lost),
        "long_pole": steps(answer.long_pole),
        "waits_for": answer.waits_for or None,
        "reason": answer.reason or None,
        "failures_next_year": risk.failures_next_year,
        "exposure_days": risk.exposure_days,
        "exposure_cost": risk.exposure_cost,
        "weight": risk.weight,
    }


def steps(long_pole: tuple[Step, ...]) -> list[Document]:
    return [asdict(step) for step in long_pole]


def together(cranes: tuple[TogetherOutage, ...]) -> Document:
    return {
        each.crane: {
            "state": each.state.value,
            "lost_share": each.lost_share,
            "restore_days": each.restore_days,
            "lost_days": each.lost_days,
            "cost": each.cost,
            "functions_lost": list(each.functions_lost),
            "exchanges": [
                {**asdict(exchange), "long_pole": steps(exchange.long_pole)}
                for exchange in each.exchanges
            ],
        }
        for each in cranes
    }


def lead_time(answer: LeadTimeAnswer) -> Document:
    return {
        "part": answer.part,
        "qty": answer.qty,
        "days_mean": answer.days_mean,
        "days_confident": answer.days_confident,
        "confidence": answer.confidence,
        "assumed": answer.assumed,
        "ways": [_way(way) for way in answer.ways],
        "route": None if answer.route is None else asdict(answer.route),
        "notes": list(answer.notes),
    }


def _way(way: WayAnswer) -> Document:
    document = asdict(way)
    source = document.pop("source")
    return {"part": document.pop("part"), "from": source, **document}


def explanation(answer: Explanation) -> Document:
    return {
        "subject": answer.subject,
        "sentence": answer.sentence,
        "terms": [asdict(term) for term in answer.terms],
        "outage": None
        if answer.outage is None or answer.risk is None
        else position(answer.outage, answer.risk),
        "lead_time": None if answer.lead_time is None else lead_time(answer.lead_time),
        "where_used": [{"crane": crane, "position": place} for crane, place in answer.where_used],
    }


def findings(found: tuple[Finding, ...]) -> Document:
    return {"findings": [{**asdict(each), "severity": each.severity.value} for each in found]}


def risks(found: tuple[PartRisk, ...]) -> Document:
    return {
        "parts": [
            {
                **asdict(each),
                "drivers": {driver.driver: driver.value for driver in each.drivers},
                "sentences": {driver.driver: driver.sentence for driver in each.drivers},
            }
            for each in found
        ]
    }


def likely(answer: LikelyAnswer) -> Document:
    return {
        "positions": [asdict(each) for each in answer.positions],
        "parts": [
            {
                **asdict(each),
                "obtainable": {str(years): p for years, p in each.obtainable.items()},
                "closes_on": _date(each.closes_on),
            }
            for each in answer.parts
        ],
        "duty": [{**asdict(each), "runs_out_on": _date(each.runs_out_on)} for each in answer.duty],
    }


def _date(day: datetime.date | None) -> str | None:
    return None if day is None else day.isoformat()


def load(report: LoadReport) -> Document:
    return {
        "written": report.written,
        "added": report.added,
        "updated": report.updated,
        "unchanged": report.unchanged,
        "faults": [{**asdict(fault), "sentence": fault.sentence()} for fault in report.faults],
    }
