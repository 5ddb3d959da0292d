"""The desk at which a person works: which database, who sits there, and which day it is.

The one thing that screens hold of the world outside; a page reaches it as `self.desk`. It is a
thin face over the services: each method is one call. Refuses to know SQL, and keeps no answers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from parts.services import state
from tui.doing import step

if TYPE_CHECKING:
    from parts.records.answers import Fault, LoadReport
    from parts.records.count_answers import CountReport, CountSheet
    from parts.records.ledger import Change
    from parts.records.papers import Report
    from parts.records.snapshot import Snapshot
    from parts.records.stock_card import StockCard
    from parts.records.stock_steps import Posted
    from parts.services.changes import Watch
    from parts.services.hands import Hand
    from parts.services.today import LastCounted


@dataclass
class Desk:
    """One person at one database; `who` is empty until somebody has said so."""

    database: str = field(repr=False)  # an address may hold a password
    today: date
    who: str = ""

    @property
    def name(self) -> str:
        """Return what people call the database, which holds no password."""
        from parts.services.sites import known_as

        return known_as(self.database)

    def read(self) -> Snapshot:
        """Return the site as it is known today; raises a LongpoleError where that cannot be."""
        from parts.services.sites import read_snapshot

        self._watch.mark()
        return read_snapshot(self.database, self.today, step)

    def last_counted(self) -> LastCounted:
        """Return when each part in each store was last counted."""
        from parts.services.today import last_counted

        return last_counted(self.database)

    def hand_over(self, target: Path) -> Report:
        """Write the documents that people hand over to a new file."""
        from parts.services import reports

        return reports.hand_over(self.database, self.today, target, progress=step)

    def new_key(self) -> str:
        """Return a key for one step that nobody has used."""
        from parts.services.hands import new_key

        return new_key()

    def stock_card(self, part: str) -> StockCard:
        """Return what is there of a part."""
        from parts.services import stock_cards

        return stock_cards.card(self.database, part, self.today)

    def post(self, facts: Mapping[str, Any]) -> Posted:
        """Take a step with the stock, given by the facts of its record."""
        from parts.records.stock_steps import Step
        from parts.services import stock

        hand = self._hand
        step = Step(**(dict(facts) | {"by": self.who or hand.who}))
        return stock.post(self.database, step, hand, self.today)

    def undo(self, key: str, new_key: str) -> Posted:
        """Undo the step that a movement belongs to."""
        from parts.services import stock

        hand = self._hand
        return stock.undo(
            self.database, key, hand, self.today, new_key=new_key, by=self.who or hand.who
        )

    def promise(self, part: str, qty: int, job: str, needed_on: date | None) -> tuple[str, ...]:
        """Promise stock to a job; returns what to know of it."""
        from parts.records.stock import Reservation
        from parts.services import reservations

        row = Reservation(part=part, qty=qty, for_=job, needed_on=needed_on)
        return reservations.reserve(self.database, row, self._hand, self.today)

    def release(self, part: str, job: str) -> int:
        """Take a promise back; returns the units that are free again."""
        from parts.services import reservations

        return reservations.release(self.database, part, job, self._hand, self.today)

    def write_count_sheet(
        self, target: Path, store: str | None, bin_from: str | None, bin_to: str | None
    ) -> CountSheet:
        """Write a blind sheet to count by; nothing is written where nothing is to be counted."""
        from parts.services import counts

        sheet = counts.sheet(
            self.database, self.today, store=store, bin_from=bin_from, bin_to=bin_to
        )
        if sheet.lines:
            counts.write_sheet(sheet, target)
        return sheet

    def book_count_sheet(self, source: Path, counted_on: date, by: str) -> CountReport:
        """Book a sheet that was filled in; asked twice it books once."""
        from parts.services import counts

        hand = self._hand
        who = by or self.who or hand.who
        return counts.enter_sheet(
            self.database, source, hand, self.today, counted_on=counted_on, by=who
        )

    @property
    def _hand(self) -> Hand:
        from parts.services.hands import hand_here

        return hand_here()

    def check_book(self, path: str) -> LoadReport:
        """Look a site book through and return what loading it would do."""
        from parts.services.books import load_book

        return load_book(Path(path).expanduser(), self.database, dry_run=True, progress=step)

    def load_book(self, path: str) -> LoadReport:
        """Lay a site book over the database, all or nothing."""
        from parts.services.books import load_book

        return load_book(Path(path).expanduser(), self.database, progress=step)

    def make_demo(self) -> LoadReport:
        """Load the demo site, which is invented, into a new database."""
        from parts.services.books import load_demo

        return load_demo(self.database)

    def make_empty(self) -> None:
        """Make a new database that holds nothing yet."""
        from parts.services.books import make_empty

        make_empty(self.database)

    @cached_property
    def _watch(self) -> Watch:
        from parts.services.changes import Watch

        return Watch(self.database)

    def changed(self) -> bool | None:
        """Return whether somebody has written to the database since the site was read; None = it
        is out of reach."""
        return self._watch.changed()

    def records_counted(self, about: Mapping[str, str]) -> dict[str, int]:
        """Return how many rows each file has, or those about one thing."""
        from parts.services import records

        return records.counted(self.database, _only(about))

    def records(self, file: str, about: Mapping[str, str]) -> list[Any]:
        """Return the rows of a file, or those about one thing."""
        from parts.services import records

        return records.rows(self.database, file, _only(about))

    def record_now(self, file: str, row: Any) -> Any | None:
        """Return a record as it stands; None = it is gone."""
        from parts.services import records

        return records.stands(self.database, file, row)

    def save_record(
        self, file: str, texts: Mapping[str, str], before: Any | None
    ) -> tuple[Fault, ...]:
        """Keep a record as typed; faults = nothing was kept."""
        from parts.services import records

        return records.save(self.database, file, texts, before, hand=self._hand)

    def remove_record(self, file: str, row: Any) -> tuple[Fault, ...]:
        """Take a record out; faults = something names it, and it stays."""
        from parts.services import records

        return records.remove(self.database, file, row, hand=self._hand)

    def history(self, file: str, row: Any) -> list[Change]:
        """Return who changed a record when."""
        from parts.services import records

        return records.history(self.database, file, row)

    def recall(self, name: str) -> Any:
        """Return what is remembered on this machine about this database, None for nothing."""
        return state.recall(name, self.database)

    def remember(self, name: str, value: object) -> None:
        """Remember something about this database on this machine; None forgets it."""
        state.remember(name, value, self.database)

    def draft(self, form: str) -> dict[str, Any]:
        """Return what was typed into a form and not saved, nothing where there is none."""
        return state.drafts(self.database).get(form, {})

    def keep_draft(self, form: str, values: dict[str, str]) -> None:
        """Keep what is typed into a form."""
        state.keep_draft(form, values, self.database)

    def drop_draft(self, form: str) -> None:
        """Forget what was typed into a form."""
        state.drop_draft(form, self.database)

    def has_read(self, sentences: Sequence[str]) -> bool:
        """Return whether this person has read these very sentences."""
        return bool(state.recall(self._reader) == list(sentences))

    def note_read(self, sentences: Sequence[str]) -> None:
        """Remember that this person has read these sentences."""
        state.remember(self._reader, list(sentences))

    @property
    def _reader(self) -> str:
        return f"cautions read {self.who}".rstrip()


def _only(about: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    return {name: (value,) for name, value in about.items()}
