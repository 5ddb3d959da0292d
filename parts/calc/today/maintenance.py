"""What waits for the maintenance lead: dangers, open failures, risks that rose, what runs out.

Reads findings, outlooks and last orders as they are reckoned elsewhere; only the comparison with
an earlier day is its own.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from typing import Any

from parts.calc.ranking.outlooks import Outlooks
from parts.calc.today.lines import Morning, figure
from parts.calc.today.risen import Rise
from parts.records.answers import Finding
from parts.records.purchase_answers import Deadline
from parts.records.risk_answers import DutyAnswer
from parts.records.shares import percent
from parts.records.states import Severity
from parts.records.supply import Notice
from parts.records.today_answers import Place, TodayLine, Urgency

NEW_NOTICE_DAYS = 91
"""A notice is new for a quarter of a year; nothing on record says that it was answered."""
AHEAD_DAYS = 365
"""Days that lie further ahead are not told yet; a choice, no source."""
HARD_CHANCE = 0.5
"""A part that in a year can be had with a lesser chance is told."""


class Maintenance:
    """The maintenance lead's lines of one day."""

    def __init__(
        self,
        morning: Morning,
        findings: Iterable[Finding],
        deadlines: Iterable[Deadline],
        rises: Iterable[Rise],
        since: datetime.date,
    ) -> None:
        self.morning = morning
        self.snapshot = morning.snapshot
        self.today = morning.today
        self.findings = findings
        self.deadlines = tuple(deadlines)
        self.rises = rises
        self.since = since

    def lines(self) -> Iterator[TodayLine]:
        yield from self._dangers()
        yield from self._open_failures()
        yield from map(self._rise, self.rises)
        yield from self._notices()
        yield from self._last_days()
        yield from self._going()
        yield from self._duty()
        yield from self._retirements()

    def _line(
        self, kind: str, part: str, sentence: str, why: str, record: str, **facts: Any
    ) -> TodayLine:
        """A line about a part, ranked by what a year takes through it."""
        usual = {
            "due_on": None,
            "urgency": Urgency.LATER,
            "figure": self.morning.lost_days(part),
            "at": Place("part", part=part),
        }
        return TodayLine(kind, part, sentence, why, record=record, **(usual | facts))

    def _dangers(self) -> Iterator[TodayLine]:
        for each in self.findings:
            if each.severity is not Severity.DANGER:
                continue
            names = "/".join(filter(None, (each.crane, each.position))) or each.part or "site"
            yield TodayLine(
                "danger",
                names,
                each.text,
                f"rule: {each.rule.replace('_', ' ')}; {each.source}",
                None,
                Urgency.NOW,
                self.morning.lost_days(each.part),
                _place_of(each),
                f"positions {names}" if each.position else f"parts {each.part}",
            )

    def _open_failures(self) -> Iterator[TodayLine]:
        for row in self.snapshot.failures:
            if row.restored_on is not None or not self.snapshot.is_live(row.crane):
                continue
            place = f"{row.crane}/{row.position}"
            yield TodayLine(
                "open_failure",
                place,
                f"failed on {row.failed_on} and not recorded as restored",
                row.note or row.cause or "no cause is recorded",
                None,
                Urgency.NOW,
                float((self.today - row.failed_on).days),
                Place("position", part=row.part, crane=row.crane, position=row.position),
                f"positions {place}",
            )

    def _rise(self, rise: Rise) -> TodayLine:
        if rise.now_days is None or rise.more_days is None:
            sentence = "what it takes in a year is not known any more"
        else:
            sentence = (
                f"{figure(rise.now_days)} lost days a year, {figure(rise.more_days)} more than on "
                f"{self.since}"
            )
        return self._line(
            "risen",
            rise.part,
            f"{sentence}: {rise.causes[0].text}",
            "; ".join(cause.text for cause in rise.causes),
            rise.causes[0].record,
            urgency=Urgency.NOW if rise.now_days is None else Urgency.SOON,
            figure=rise.more_days,
        )

    def _notices(self) -> Iterator[TodayLine]:
        asked = {each.part for each in self.deadlines}
        for row in self.snapshot.notices:
            if (self.today - row.notice_on).days >= NEW_NOTICE_DAYS:
                continue
            ends = row.kind == "discontinuance" and row.part in asked
            place = Place("last buy" if ends else "part", part=row.part)
            yield self._line(
                "notice",
                row.part,
                notice_words(row),
                row.note or f"told on {row.notice_on}",
                f"notices {row.part}",
                due_on=row.last_buy_on,
                urgency=self.morning.urgency(row.last_buy_on),
                at=place,
            )

    def _last_days(self) -> Iterator[TodayLine]:
        for each in self.deadlines:
            if each.order_by is not None and self._is_near(each.order_by):
                yield self.morning.dated(
                    "last_day",
                    each.part,
                    each.order_by,
                    Place("last buy", part=each.part),
                    sentence=f"can be ordered until {each.order_by}; {each.quantity:,} advised",
                    why=each.reason or "after that day it cannot be bought new",
                    record=each.record,
                )

    def _going(self) -> Iterator[TodayLine]:
        outlooks, told = Outlooks(self.morning.exposures), {each.part for each in self.deadlines}
        for part in sorted(self.morning.exposures.fleet.live_parts - told):
            outlook = outlooks.part(part)
            chance = outlook.obtainable[1]
            if chance is None or chance >= HARD_CHANCE:
                continue
            yield self._line(
                "going",
                part,
                f"in a year it can still be had with a chance of {percent(chance)}",
                outlook.stage or "its stage on the market is not known",
                f"parts {part}",
            )

    def _duty(self) -> Iterator[TodayLine]:
        for each in Outlooks(self.morning.exposures).duty():
            ends_on = each.runs_out_on
            if ends_on is None or not self.snapshot.is_live(each.crane):
                continue
            if self._is_near(ends_on):
                yield self.morning.dated(
                    "duty",
                    each.crane,
                    ends_on,
                    Place("crane", crane=each.crane),
                    sentence=duty_words(each),
                    why="an estimate, no proof of soundness; a qualified person decides",
                    record=f"duty {each.crane}/{each.mechanism}",
                )

    def _retirements(self) -> Iterator[TodayLine]:
        for row in self.snapshot.cranes.values():
            if row.retire_on is None or not self.snapshot.is_live(row.crane):
                continue
            if self._is_near(row.retire_on):
                yield self.morning.dated(
                    "retirement",
                    row.crane,
                    row.retire_on,
                    Place("crane", crane=row.crane),
                    sentence=f"retires on {row.retire_on}",
                    why="see which spares other cranes can use, and which only it asks for",
                    record=f"cranes {row.crane}",
                )

    def _is_near(self, day: datetime.date) -> bool:
        return (day - self.today).days <= AHEAD_DAYS


def _place_of(found: Finding) -> Place:
    if found.crane and found.position:
        return Place("position", part=found.part, crane=found.crane, position=found.position)
    if found.part:
        return Place("part", part=found.part)
    return Place("crane", crane=found.crane)


def notice_words(row: Notice) -> str:
    """What a supplier has told."""
    who = row.supplier or "somebody"
    if row.kind == "discontinuance":
        last = f"orders until {row.last_buy_on}" if row.last_buy_on else "no last day is given"
        return f"{who} ends it: {last}"
    return f"{who} changes it"


def duty_words(each: DutyAnswer) -> str:
    """How much of a working period is used."""
    share = "" if each.used_share is None else f"{percent(each.used_share)} of it used"
    if each.used_share is not None and each.used_share >= 1.0:
        return (
            f"{each.mechanism}: working period over, {share}; a general overhaul or special "
            "assessment by a qualified person is due"
        )
    return f"{each.mechanism}: working period ends on {each.runs_out_on}, {share}".rstrip(", ")
