"""What the lists of all people share: the day, what a part is worth, and how urgent a line is.

Knows no rule of its own about what waits.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from parts.calc.buying.reorder import Reorders
from parts.calc.ranking.exposures import Exposures
from parts.calc.ranking.risks import Risks
from parts.records.purchase_answers import ReorderLine
from parts.records.snapshot import Snapshot
from parts.records.today_answers import Place, TodayLine, Urgency

SOON_DAYS = 30
"""What has its day within so many days is soon; a choice, no source."""


@dataclass(frozen=True)
class Morning:
    """What is known when somebody asks what needs doing."""

    exposures: Exposures

    @property
    def snapshot(self) -> Snapshot:
        return self.exposures.snapshot

    @property
    def today(self) -> datetime.date:
        return self.exposures.snapshot.today

    @cached_property
    def ranking(self) -> Risks:
        return Risks(self.exposures)

    @cached_property
    def reorders(self) -> tuple[ReorderLine, ...]:
        return Reorders(self.exposures).answer()

    @property
    def days_of(self) -> Mapping[str, float]:
        return self.ranking.days_of

    def lost_days(self, part: str | None) -> float | None:
        """Lost days a year through a part, 0 where it sits nowhere; None = not known."""
        days = self.days_of.get(part or "", 0.0)
        return None if math.isnan(days) else days

    def urgency(self, due_on: datetime.date | None) -> Urgency:
        """Now where the day is here or over, soon within SOON_DAYS, later beyond or without."""
        if due_on is None or (due_on - self.today).days > SOON_DAYS:
            return Urgency.LATER
        return Urgency.NOW if due_on <= self.today else Urgency.SOON

    def dated(
        self, kind: str, subject: str, due_on: datetime.date, at: Place, **words: str
    ) -> TodayLine:
        """A line with a day of its own, counted in the days since that day; `words` are its
        sentence, why and record."""
        since = float((self.today - due_on).days)
        return TodayLine(
            kind=kind,
            subject=subject,
            due_on=due_on,
            urgency=self.urgency(due_on),
            figure=since,
            at=at,
            **words,
        )


def in_order(lines: list[TodayLine]) -> tuple[TodayLine, ...]:
    """The most urgent first, then what is not known, then the largest figure; ties by name."""
    order = list(Urgency)
    return tuple(
        sorted(
            lines,
            key=lambda line: (
                order.index(line.urgency),
                line.figure is not None,
                -(line.figure or 0.0),
                line.subject,
                line.sentence,
            ),
        )
    )


def figure(value: float) -> str:
    """A figure to two digits, whole from 100 upwards."""
    return f"{value:,.0f}" if value >= 100 else f"{value:.2g}"


def many(number: int, noun: str) -> str:
    """A number with its noun, which takes a plain s."""
    return f"{number:,} {noun}{'' if number == 1 else 's'}"
