"""A step undone by opposite movements, once, as far as what it moved is still there."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from parts.calc.stockroom.repeated import is_same
from parts.calc.stockroom.steps import booking_of
from parts.calc.stockroom.undoing import reversals
from parts.errors import ShortStock, StepRefused
from parts.records.stock import Movement
from parts.records.stock_steps import Step
from tests.calc.stockrooms import EARLIER, NEXT_YEAR, TODAY, known, moved, step

FIVE = moved(5, key="five")
MOVE = booking_of(step("transfer", 2, to_store="crib"), known(FIVE)).movements


def undo(key: str, *movements: Movement, **facts: Any) -> tuple[Movement, ...]:
    named: dict[str, Any] = {"new_key": "u", "date": TODAY, **facts}
    return reversals(key, movements, **named)


def refused(key: str, *movements: Movement, **facts: Any) -> StepRefused:
    with pytest.raises(StepRefused) as refusal:
        undo(key, *movements, **facts)
    return refusal.value


def test_every_movement_of_a_step_is_reversed_in_whatever_order_they_were_entered() -> None:
    assert [row.key for row in MOVE] == ["k", "k/to"]
    for entered in (MOVE, MOVE[::-1]):
        rows = undo("k", FIVE, *entered)

        assert [(row.key, row.qty, row.store, row.reverses) for row in rows] == [
            ("u", 2, "main", "k"),
            ("u/to", -2, "crib", "k/to"),
        ]


def test_a_reversal_or_care_is_not_undone() -> None:
    issue = moved(-1, "issue", key="i")
    undone = moved(1, "reversal", key="r", reverses="i")

    assert "undoes another step" in str(refused("r", FIVE, issue, undone))
    assert "moved nothing" in str(refused("c", FIVE, moved(0, "care", key="c")))


def test_what_is_undone_once_is_not_undone_again() -> None:
    issue = moved(-1, "issue", key="i")
    undone = moved(1, "reversal", key="r", reverses="i")

    assert "undone already, by 'r'" in str(refused("i", FIVE, issue, undone))


def test_a_receipt_that_was_used_up_is_not_undone() -> None:
    receipt = moved(2, "receipt", key="in", date=EARLIER)
    refusal = refused("in", receipt, moved(-1, "issue", date=TODAY))

    assert isinstance(refusal, ShortStock)
    assert "in main: on hand 1, asked 2, short 1" in str(refusal)


def test_a_single_unit_that_is_gone_is_not_undone_either() -> None:
    receipt = moved(1, "receipt", key="in", date=EARLIER, store="crib", expires_on=NEXT_YEAR)
    refusal = refused("in", receipt, moved(-1, "issue", date=TODAY, store="crib"))

    assert "in crib: on hand 0, asked 1, short 1" in str(refusal)


def test_a_lot_that_was_used_up_is_not_undone_by_taking_another() -> None:
    receipt = moved(2, "receipt", key="in", date=EARLIER, expires_on=NEXT_YEAR)
    used = moved(-2, "issue", date=TODAY, expires_on=NEXT_YEAR)

    assert isinstance(refused("in", FIVE, receipt, used), ShortStock)
    same_day = replace(receipt, date=TODAY)
    assert isinstance(refused("in", FIVE, same_day, used), ShortStock)


def test_an_undoing_is_not_dated_before_its_step() -> None:
    issue = moved(-1, "issue", key="i", date=TODAY)

    assert refused("i", FIVE, issue, date=TODAY - timedelta(days=1)).field == "date"


def test_the_key_and_the_note_of_an_undoing_are_as_plain_as_any() -> None:
    issue = moved(-1, "issue", key="i")

    assert refused("i", FIVE, issue, new_key="u/2").field == "key"
    assert refused("i", FIVE, issue, note="\x07").field == "note"


# The same step once more


@pytest.mark.parametrize(
    "asked",
    [
        step("issue", 2),
        step("issue", 2, store="main", by="keeper", note="slip"),
        step("scrap", 2, note="worn"),
        step("transfer", 2, to_store="crib"),
        step("transfer", 2, to_condition="quarantine", note="cracked"),
        step("return", 2, condition="in_repair"),
        step("receive", 2, certificate="C-9", note="box"),
        step("count", 3),
        step("care", 0),
    ],
)
def test_a_step_is_the_same_as_itself_and_no_other(asked: Step) -> None:
    booked = booking_of(asked, known(FIVE)).movements
    others: list[dict[str, Any]] = [
        {"date": EARLIER},
        {"by": "somebody else"},
        {"bin": "B7"},
        {"store": "crib"},
        {"crane": "C1"},
        {"serial": "A7"},
        *([] if asked.kind == "care" else [{"qty": 1}]),
    ]

    assert is_same(asked, booked)
    for other in others:
        changed = {**{name: getattr(asked, name) for name in Step.__slots__}, **other}
        assert not is_same(Step(**changed), booked), other


def test_the_unit_of_a_serial_number_is_taken_in_whatever_state_it_lies() -> None:
    facts = known(moved(1, serial="A7", condition="quarantine"))
    out = booking_of(step("scrap", serial="A7", note="bent"), facts).movements

    assert is_same(step("scrap", serial="A7", note="bent"), out)
    assert is_same(step("scrap", serial="A7", note="bent", condition="quarantine"), out)
    assert not is_same(step("scrap", serial="A7", note="bent", condition="in_repair"), out)

    back = booking_of(step("receive", serial="A8", condition="quarantine"), facts).movements

    assert not is_same(step("receive", serial="A8"), back)


def test_a_lot_that_the_book_chose_is_not_asked_again_and_one_that_came_in_is() -> None:
    facts = known(moved(2, expires_on=NEXT_YEAR))
    out = booking_of(step("issue", 2), facts).movements
    back = booking_of(step("receive", 2, expires_on=NEXT_YEAR), facts).movements

    assert is_same(step("issue", 2), out)
    assert is_same(step("issue", 2, expires_on=NEXT_YEAR), out)
    assert is_same(step("receive", 2, expires_on=NEXT_YEAR), back)
    assert not is_same(step("receive", 2), back)


def test_another_state_or_note_is_another_step() -> None:
    kept = step("receive", 2, condition="quarantine", note="box")
    booked = booking_of(kept, known()).movements

    assert not is_same(step("receive", 2, note="box"), booked)
    assert not is_same(step("receive", 2, condition="quarantine", note="bag"), booked)
    assert not is_same(replace(kept, certificate="C-9"), booked)
    assert not is_same(
        step("receive", 2, condition="quarantine", note="box", expires_on=NEXT_YEAR), booked
    )


@pytest.mark.parametrize(
    "other",
    [{"to_bin": "R2"}, {"to_store": "crib"}, {"to_condition": "in_repair"},
     {"to_expires_on": NEXT_YEAR}],
)  # fmt: skip
def test_a_transfer_to_anywhere_else_is_another_step(other: dict[str, Any]) -> None:
    asked = step("transfer", 2, to_bin="R1", to_condition="quarantine", note="cracked")
    booked = booking_of(asked, known(FIVE)).movements

    assert is_same(asked, booked)
    assert not is_same(replace(asked, **other), booked)
