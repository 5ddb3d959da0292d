"""Steps in any order against a dictionary: stock, sums and seals agree after each of them."""

from __future__ import annotations

import datetime
import shutil
import sqlite3
from collections import Counter
from collections.abc import Sequence
from contextlib import closing
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, ClassVar

import pytest
from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from parts.errors import KeyTaken, LongpoleError
from parts.records.catalogue import Part
from parts.records.ledger import NO_STORE
from parts.records.stock_steps import Step
from parts.services import books, copies, stock
from tests.faults.scratch import scratch
from tests.faults.shelves import Shelves
from tests.services.storeroom import KEEPER, TODAY, fill

LONG = 100
PLAIN, AGING = ("BOLT", "HOOK"), ("BELT",)
PARTS = st.sampled_from((*PLAIN, *AGING))
STORES = st.sampled_from(("main", "crib"))
WHICH = st.integers(0, 999)
CONDITIONS = st.sampled_from(("usable", "quarantine", "in_repair"))
FEW = st.sampled_from((1, 1, 2, 3, 0))
ROWS: dict[str, list[Any]] = {
    "movements": [],
    "parts": [
        *(Part(part=name) for name in PLAIN),
        *(Part(part=name, shelf_life_months=12.0) for name in AGING),
    ],
}
TAMPERINGS = (
    "UPDATE movements SET qty = qty + 1 WHERE id = (SELECT max(id) FROM movements)",
    "UPDATE movements SET note = 'hand' WHERE id = (SELECT min(id) FROM movements)",
    "UPDATE movements SET date = '2020-01-01' WHERE id = (SELECT max(id) FROM movements)",
    "UPDATE postings SET who = 'another' WHERE movement = (SELECT max(movement) FROM postings)",
    "DELETE FROM postings WHERE movement = (SELECT max(movement) FROM postings)",
    "DELETE FROM movements WHERE id = (SELECT max(id) FROM movements)",
    "UPDATE balances SET qty = qty + 1",
    "UPDATE balances SET seal = 'f'",
    "DELETE FROM balances",
)


class Storeroom(RuleBasedStateMachine):
    """The steps of the program's own services, on one file; `told` counts them over all runs."""

    told: ClassVar[Counter[str]] = Counter()
    folder: ClassVar[Path]

    def __init__(self) -> None:
        super().__init__()
        self.at = str(self.folder / "site.db")
        Path(self.at).write_bytes(_empty_site())
        self.past = sqlite3.connect(self.at)
        self.shelves = Shelves(frozenset(AGING))
        self.today = TODAY
        self.steps: list[Step] = []
        self.undoings: dict[str, str] = {}
        self.tampered = 0

    @initialize(qty=st.integers(1, 9))
    def open_the_store(self, qty: int) -> None:
        for part in (*PLAIN, *AGING):
            for store in ("main", "crib"):
                self._post("receive", part, store, qty, expires_on=self._until(part, 60))

    @rule(part=PARTS, store=STORES, qty=FEW, days=st.integers(-1, 90), condition=CONDITIONS)
    def receive(self, part: str, store: str, qty: int, days: int, condition: str) -> None:
        until = self._until(part, days)
        self._post("receive", part, store, qty, condition=condition, expires_on=until)

    @rule(part=PARTS, store=STORES, qty=FEW, condition=CONDITIONS)
    def put_back(self, part: str, store: str, qty: int, condition: str) -> None:
        until = self._until(part, 5)
        self._post("return", part, store, qty, condition=condition, expires_on=until)

    @rule(part=PARTS, store=STORES, qty=FEW)
    def issue(self, part: str, store: str, qty: int) -> None:
        self._post("issue", part, store, qty)

    @rule(part=PARTS, store=STORES, qty=FEW, condition=CONDITIONS)
    def scrap(self, part: str, store: str, qty: int, condition: str) -> None:
        self._post("scrap", part, store, qty, condition=condition)

    @rule(part=PARTS, store=STORES, to=STORES, qty=FEW, condition=CONDITIONS, other=CONDITIONS)
    def transfer(  # noqa: PLR0917 - drawn by name
        self, part: str, store: str, to: str, qty: int, condition: str, other: str
    ) -> None:
        facts = {"to_store": to, "condition": condition, "to_condition": other}
        self._post("transfer", part, store, qty, **facts)

    @rule(part=st.sampled_from(PLAIN), store=STORES, more=st.integers(0, 9))
    def count(self, part: str, store: str, more: int) -> None:
        self._post("count", part, store, self.shelves.held(part, store, back=True) + more)

    @rule(days=st.integers(1, 40))
    def next_day(self, days: int) -> None:
        self.today += datetime.timedelta(days)

    @rule(part=PARTS)
    def ask_what_lies_there(self, part: str) -> None:
        found = stock.on_hand(self.at, part, self.today)

        usable = {each.store: each.usable for each in found if each.usable}
        assert usable == self.shelves.usable(part, self.today)
        assert all(each.book == self.shelves.held(part, each.store or "") for each in found)
        self.told["asked what lies there"] += 1

    @rule(which=WHICH)
    def ask_again(self, which: int) -> None:
        posted = stock.post(self.at, _one_of(self.steps, which), KEEPER, self.today)

        assert posted.already
        self.told["asked again"] += 1

    @rule(which=WHICH, fact=st.sampled_from(("qty", "part", "store", "date", "note")))
    def ask_for_something_else_with_a_key_that_is_taken(self, which: int, fact: str) -> None:
        step = _one_of(self.steps, which)
        others = {
            "qty": step.qty + 1,
            "part": "BOLT" if step.part == "HOOK" else "HOOK",
            "store": "attic",
            "date": step.date - datetime.timedelta(1),
            "note": "another",
        }
        if step.kind == "count" and fact == "note":
            fact = "qty"  # a count that found no difference keeps no note
        other = replace(step, **{fact: others[fact]})

        with pytest.raises(KeyTaken):
            stock.post(self.at, other, KEEPER, self.today)
        self.told["key taken"] += 1

    @rule(which=WHICH)
    def undo(self, which: int) -> None:
        key = _one_of(self.steps, which).key
        new_key = f"u{len(self.undoings)}"
        if self.shelves.undo(key, new_key):
            assert not self._undo(key, new_key)
            self.undoings[new_key] = key
            self.told["undone"] += 1
        else:
            with pytest.raises(LongpoleError):
                self._undo(key, new_key)
            self.told["undoing refused"] += 1

    @precondition(lambda self: self.undoings)
    @rule(which=WHICH)
    def undo_again(self, which: int) -> None:
        new_key = _one_of(list(self.undoings), which)

        assert self._undo(self.undoings[new_key], new_key)
        for key in (self.undoings[new_key], new_key):
            with pytest.raises(LongpoleError, match=r"undone already|undoes another"):
                self._undo(key, "yet another")
        self.told["undoing asked again"] += 1

    @precondition(lambda self: self.tampered < 2)
    @rule(sql=st.sampled_from(TAMPERINGS))
    def alter_a_copy_past_the_program(self, sql: str) -> None:
        self.tampered += 1
        copy = shutil.copyfile(self.at, self.folder / "altered.db")
        tamper(copy, sql)

        assert not copies.verify(str(copy)).sound
        self.told["alteration found"] += 1

    @invariant()
    def the_book_is_what_lies_there(self) -> None:
        kept, summed = (
            {(part, store): qty for part, store, qty in self.past.execute(sql).fetchall() if qty}
            for sql in (
                "SELECT part, store, qty FROM balances",
                f"SELECT part, coalesce(store, '{NO_STORE}'), sum(qty) FROM movements "  # noqa: S608
                "GROUP BY 1, 2",
            )
        )

        assert kept == summed == self.shelves.balances()

    def teardown(self) -> None:
        self.past.close()
        assert copies.verify(self.at).damage == ()
        if len(self.steps) % 4 == 0:  # not always, since it takes as long as twenty steps
            self._can_be_carried_elsewhere()

    def _can_be_carried_elsewhere(self) -> None:
        books.save_book(self.at, self.folder / "book")
        again = str(self.folder / "again.db")
        Path(again).write_bytes(_empty_site())
        assert books.load_book(self.folder / "book", again, hand=KEEPER).faults == ()
        for part in (*PLAIN, *AGING):
            here, there = (stock.on_hand(at, part, self.today) for at in (self.at, again))
            assert [(each.store, each.book, each.usable, each.quarantine) for each in here] == [
                (each.store, each.book, each.usable, each.quarantine) for each in there
            ]
        assert copies.verify(again).damage == ()

    def _post(self, kind: Any, part: str, store: str, qty: int, **facts: Any) -> None:
        key = f"k{len(self.steps)}"
        step = Step(key=key, kind=kind, date=self.today, part=part, qty=qty, store=store,
                    note="worn", **facts)  # fmt: skip
        if self.shelves.take(step):
            assert not stock.post(self.at, step, KEEPER, self.today).already
            self.steps.append(step)
            self.told[kind] += 1
        else:
            with pytest.raises(LongpoleError):
                stock.post(self.at, step, KEEPER, self.today)
            self.told[f"{kind} refused"] += 1

    def _undo(self, key: str, new_key: str) -> bool:
        return stock.undo(self.at, key, KEEPER, self.today, new_key=new_key).already

    def _until(self, part: str, days: int) -> datetime.date | None:
        return self.today + datetime.timedelta(days) if part in AGING else None


def _one_of(several: Sequence[Any], which: int) -> Any:
    return several[which % len(several)]


@cache
def _empty_site() -> bytes:
    """A file with the parts and no movement, made once."""
    with scratch() as folder:
        return Path(fill(str(folder / "site.db"), ROWS)).read_bytes()


def tamper(path: Path, sql: str) -> None:
    """Run SQL past the guards and set them up again, so that nothing but the data tells."""
    with closing(sqlite3.connect(path)) as past:
        question = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        guards = past.execute(question).fetchall()
        for name, _ in guards:
            past.execute(f"DROP TRIGGER {name}")
        assert past.execute(sql).rowcount
        for _, definition in guards:
            past.execute(definition)
        past.commit()


def run(steps: int, number: int = 0) -> Counter[str]:
    """Take so many steps or some more, in any order; what was done, counted.

    Another number takes them in another order.
    """
    told = Storeroom.told = Counter()
    with scratch() as Storeroom.folder:
        while told.total() < steps:
            chosen = settings(
                max_examples=2 + (steps - told.total()) // LONG,
                stateful_step_count=LONG,
                deadline=None,
                database=None,
                phases=[Phase.generate, Phase.shrink],
                suppress_health_check=list(HealthCheck),
            )
            machine = seed(number * steps + told.total())(Storeroom)
            run_state_machine_as_test(machine, settings=chosen)
    return told
