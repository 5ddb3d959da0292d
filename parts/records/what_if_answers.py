"""What if: the questions, and the site as it is beside the site as it would be.

A question is a plain value that a screen, a command and a test put alike. None = not known.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from parts.records.answers import TogetherOutage

Asks = Literal["fail", "quote", "close", "hours", "loads", "spare", "upgrade", "retire"]
Present = Literal["both", "now", "then"]


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: `names` are those of what it is about.

    fail: positions as `places`; quote: supplier, part, days; close: supplier; hours: times the
    hours a year; loads: load-spectrum factor; spare: part, units; upgrade: upgrades; retire: crane.
    """

    asks: Asks
    names: tuple[str, ...] = ()
    number: float | None = None
    places: tuple[tuple[str, str], ...] = ()

    @property
    def sentence(self) -> str:
        """The question as a person would put it; a number that is not given yet is "so many"."""
        number = "so many" if self.number is None else f"{self.number:,.10g}"
        places = _listed([f"{crane}/{position}" for crane, position in self.places])
        names = _listed(self.names)
        what = {
            "fail": f"{places} {'fails' if len(self.places) == 1 else 'fail together'}",
            "quote": f"{self.names[0]} delivers {self.names[-1]} in {number} days"
            if self.names
            else "",
            "close": f"{names} closes",
            "hours": f"every crane runs {number} times the hours a year",
            "loads": f"loads of a load-spectrum factor of {number} or more are lifted",
            "spare": f"{number} of {names} more {'is' if self.number == 1 else 'are'} bought",
            "upgrade": f"{names} {'is' if len(self.names) == 1 else 'are'} done",
            "retire": f"{names} is out for good",
        }[self.asks]
        return f"What if {what}?"


@dataclass(frozen=True, slots=True)
class PositionChange:
    """One position as things are and as they would be: lost days if it fails today, and those to
    be expected in a year. Where it is only there now, or only then, the other figures are 0."""

    crane: str
    position: str
    part: str | None
    lost_days_now: float | None
    lost_days_then: float | None
    year_days_now: float | None
    year_days_then: float | None
    part_then: str | None
    present: Present = "both"

    @property
    def more_days(self) -> float | None:
        """Lost days on top of today's; below 0 where fewer; None where either is not known."""
        return _more(self.lost_days_now, self.lost_days_then)

    @property
    def more_days_a_year(self) -> float | None:
        """Lost days of a year on top of today's; None where either is not known."""
        return _more(self.year_days_now, self.year_days_then)


@dataclass(frozen=True, slots=True)
class PeriodChange:
    """A mechanism whose working period would end on another day."""

    crane: str
    mechanism: str
    used_share: float | None
    runs_out_now: datetime.date | None
    runs_out_then: datetime.date | None


@dataclass(frozen=True, slots=True)
class WhatIfAnswer:
    """`changes` are the positions that change most, `changed` counts all that change.

    Exposures are those of a year; `unknown` counts positions that nobody knows how to restore,
    which add nothing to them. `outages` tell what a failure that is asked about does to each
    crane, `periods` the working periods that end on another day, `notes` what was taken as given.
    """

    exposure_days_now: float
    exposure_days_then: float
    exposure_cost_now: float
    exposure_cost_then: float
    unknown_now: int
    unknown_then: int
    changed: int
    changes: tuple[PositionChange, ...]
    outages: tuple[TogetherOutage, ...] = ()
    periods: tuple[PeriodChange, ...] = ()
    notes: tuple[str, ...] = ()


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def _more(now: float | None, then: float | None) -> float | None:
    return None if now is None or then is None else then - now
