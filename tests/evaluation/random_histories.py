"""Random site books with what tells how likely things are: ages, failures, rates, lives, duty.

Takes a random book and adds to it by a seed of its own, so that the book itself stays as it is.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from random import Random
from typing import Any

from random_books import TODAY, random_book

from parts.records.book import Book
from parts.records.history import Duty, Failure, Observation
from parts.records.site import Score, Setting


def random_history(seed: int) -> Book:
    book = random_book(seed)
    _History(book, Random(seed + 5000))  # noqa: S311 - tests, not secrets
    return book


class _History:
    def __init__(self, book: Book, rng: Random) -> None:
        self.book, self.rng = book, rng
        self._site()
        self.change("classes", self._class)
        self.change("parts", self._part)
        self.change("cranes", self._crane)
        self.change("positions", self._position)
        self.change("companions", self._companion)
        self._failures()
        self._meters()
        self._issues()
        self._duty()

    def change(self, file: str, how: Any) -> None:
        self.book.rows[file] = [replace(row, **how(row)) for row in self.book[file]]

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def maybe(self, share: float, value: Any) -> Any:
        return value if self.chance(share) else None

    def near(self, low: float, high: float) -> float:
        return round(self.rng.uniform(low, high), 4)

    def on(self, earliest: int, latest: int) -> date:
        return TODAY + timedelta(days=self.rng.randint(earliest, latest))

    def _site(self) -> None:
        if self.chance(0.6):
            day = self.on(-4000, -400).isoformat()
            self.book["site"].append(Setting(key="records_from", value=day))
        if self.chance(0.3):
            self.book["site"].append(Setting(key="horizon_years", value="6"))
        if self.chance(0.4):
            points = {
                "age": "0:0+1:100", "sources": "0:100+2:30+3:0", "lead_time": "10:5+200:95",
            }  # fmt: skip
            for driver, weight in (("age", 0.5), ("sources", 0.2), ("lead_time", 0.3)):
                row = Score(driver=driver, weight=weight, points=points[driver])
                self.book["scores"].append(row)

    def _class(self, row: Any) -> dict[str, Any]:
        basis = self.rng.choice(["years", "hours"]) if self.chance(0.3) else None
        scale = self.near(5, 20) if basis == "years" else self.near(5000, 40_000)
        return {
            "failures_per_year": self.maybe(0.7, self.near(0.02, 0.4)),
            "rate_weight": self.rng.choice([1.0, 1.0, 2.5]),
            "life_basis": basis,
            "life_shape": self.rng.choice([1.0, 1.7, 2.5]) if basis else None,
            "life_scale": scale if basis else None,
            "market_shape": self.maybe(0.8, self.near(1.5, 4.0)),
            "market_scale": self.near(10, 40),
        }

    def _part(self, row: Any) -> dict[str, Any]:
        basis = self.rng.choice(["years", "hours"]) if self.chance(0.35) else None
        scale = self.near(4, 30) if basis == "years" else self.near(3000, 60_000)
        stated = basis is not None and self.chance(0.8)
        return {
            "failures_per_year": self.maybe(0.5, self.near(0.02, 0.5)),
            "life_basis": basis,
            "life_shape": self.rng.choice([1.0, 1.5, 2.0, 3.2]) if stated else None,
            "life_scale": scale if stated else None,
            "planned_per_year": self.maybe(0.2, self.near(0.0, 2.0)),
            "introduced": self.maybe(0.7, self.on(-12_000, -1000)),
            "drawing": self.rng.choice([True, False, None]),
        }

    def _crane(self, row: Any) -> dict[str, Any]:
        return {
            "commissioned": self.maybe(0.8, self.on(-9000, -1500)),
            "hours_per_year": self.maybe(0.85, self.near(500, 5000)),
        }

    def _position(self, row: Any) -> dict[str, Any]:
        # Where neither the crane nor the position has a date, nobody could say since when.
        dated = next(c for c in self.book["cranes"] if c.crane == row.crane).commissioned
        return {
            "installed": self.on(-7000, -300)
            if dated is None
            else self.maybe(0.7, self.on(-7000, -30)),
            "hours_at_install": self.maybe(0.5, self.near(0, 900)),
            "failures_per_year": self.maybe(0.15, self.near(0.0, 0.8)) if row.part else None,
        }

    def _companion(self, row: Any) -> dict[str, Any]:
        return {"chance": self.rng.choice([row.chance, 0.3, 0.6])}

    def _failures(self) -> None:
        seats = [row for row in self.book["positions"] if row.part is not None]
        for _ in range(self.rng.randint(0, 14)):
            seat = self.rng.choice(seats)
            failed_on = self.on(-3500, 10)
            key = (seat.crane, seat.position, failed_on)
            if key in {(f.crane, f.position, f.failed_on) for f in self.book["failures"]}:
                continue
            part = next(row for row in self.book["parts"] if row.part == seat.part)
            self.book["failures"].append(
                Failure(
                    crane=seat.crane,
                    position=seat.position,
                    failed_on=failed_on,
                    restored_on=self.maybe(0.7, failed_on + timedelta(self.rng.randint(0, 90))),
                    part=self.maybe(0.6, seat.part),
                    age_hours=self.near(100, 20_000)
                    if part.life_basis == "hours" and self.chance(0.5)
                    else None,
                )
            )

    def _meters(self) -> None:
        broken = {(row.crane, row.position) for row in self.book["failures"]}
        for seat in self.book["positions"]:
            where = (seat.crane, seat.position)
            if where in broken or seat.hours_at_install is None or self.chance(0.7):
                continue
            for back in (700, 200):
                value = str(round(9000 - 4 * back + self.rng.randint(0, 50), 1))
                self.book["observations"].append(
                    Observation(
                        crane=seat.crane,
                        position=seat.position,
                        date=TODAY - timedelta(days=back),
                        what="hours_meter",
                        value=value,
                    )
                )

    def _issues(self) -> None:
        """Some of what went out went to a failure."""
        failures = self.book["failures"]
        for number, row in enumerate(self.book["movements"]):
            if row.kind == "issue" and failures and self.chance(0.4):
                failure = self.rng.choice(failures)
                self.book["movements"][number] = replace(
                    row, crane=failure.crane, position=failure.position
                )

    def _duty(self) -> None:
        for crane in self.book["cranes"]:
            self.book["duty"].append(
                Duty(
                    crane=crane.crane,
                    mechanism="hoist",
                    group=self.rng.choice(["M3", "M5", "M6", None]),
                    hours_per_year=self.maybe(0.8, self.near(100, 2000)),
                    km=self.maybe(0.6, self.near(0.1, 1.0)),
                    spectrum=self.rng.choice([None, "1:0.25+0.5:0.75", "0.8:0.4+0.4:0.4+0:0.2"]),
                    hours_used=self.maybe(0.8, self.near(10, 30_000)),
                    method_factor=self.rng.choice([1.0, 1.1, 1.5]),
                )
            )
