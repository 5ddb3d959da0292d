"""Steps with the stock of a real database: taken whole, once, stamped, and undone."""

from __future__ import annotations

from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from parts import errors
from parts.records.history import Failure
from parts.records.stock import Reservation
from parts.records.stock_steps import Edit
from parts.records.structure import Position
from parts.services import books, records, reservations, stock
from parts.services.lead_times import lead_time
from parts.services.outages import outage
from parts.services.risks import exposures
from parts.services.sites import read_snapshot
from parts.store import journal, ledger
from parts.store.books import delete_row, read_rows
from parts.store.database import Database
from tests.services.storeroom import (
    KEEPER,
    LAST_MONTH,
    LONG_AGO,
    NEXT_YEAR,
    ROWS,
    TODAY,
    everything,
    fill,
    held,
    step,
    take,
    undo,
)

COIL_AT: dict[str, Any] = {"crane": "C1", "position": "brake/coil"}


def rows(where: str, name: str, **only: str) -> list[Any]:
    with closing(Database.open(where)) as opened, opened.reading() as connection:
        return read_rows(connection, name, {column: (text,) for column, text in only.items()})


def refused(where: str, kind: Any, part: str, qty: int = 1, **facts: Any) -> str:
    """Why a step is refused; nothing may have changed."""
    before = everything(where)
    with pytest.raises(errors.LongpoleError) as refusal:
        take(where, kind, part, qty, **facts)

    assert everything(where) == before
    return str(refusal.value)


# Whole, once, stamped


def test_more_than_is_on_hand_is_refused_and_nothing_changes(storeroom: str) -> None:
    assert "on hand 4, asked 5, short 1" in refused(storeroom, "issue", "COIL", 5)


@pytest.mark.parametrize("qty", [0, -1, 10**12])
def test_a_quantity_that_is_none_changes_nothing(in_file: str, qty: int) -> None:
    assert "whole units" in refused(in_file, "issue", "COIL", qty)


def test_a_part_crane_or_position_that_is_not_there_is_told_with_what_is_near(in_file: str) -> None:
    assert "did you mean COIL" in refused(in_file, "issue", "COILS")
    assert "no crane is called 'C2'" in refused(in_file, "issue", "COIL", crane="C2")
    assert "did you mean drive" in refused(in_file, "issue", "COIL", crane="C1", position="drives")
    assert "no part" in refused(in_file, "issue", "COIL", **COIL_AT, failed_on=TODAY,
                                consumed=("nut",))  # fmt: skip


def test_asking_twice_is_asking_once(storeroom: str) -> None:
    first = take(storeroom, "issue", "COIL", 3)
    again = take(storeroom, "issue", "COIL", 3)

    assert (first.already, first.before, first.after) == (False, 4, 1)
    assert (again.already, again.before, again.after) == (True, 1, 1)
    assert again.movements == first.movements
    assert again.notes == ("booked already; nothing was added",)
    assert held(storeroom, "COIL") == {"main": (1, 1)}


def test_a_key_with_other_contents_is_refused(storeroom: str) -> None:
    take(storeroom, "issue", "COIL", 1)

    assert "other contents" in refused(storeroom, "issue", "COIL", 2)
    assert "other contents" in refused(storeroom, "issue", "LINING", 1)
    assert "other contents" in refused(storeroom, "scrap", "COIL", 1, note="worn")


@pytest.mark.parametrize(
    "other",
    [{"failed_on": None}, {"failed_on": LONG_AGO}, {"restored_on": None}, {"cause": "rust"},
     {"cause": None}, {"consumed": ()}, {"consumed": ("SEAL", "LINING")}, {"for_": "overhaul"}],
)  # fmt: skip
def test_a_key_is_held_against_what_was_told_of_the_failure_and_the_job(
    in_file: str, other: dict[str, Any]
) -> None:
    asked = COIL_AT | {"failed_on": LAST_MONTH, "restored_on": TODAY, "cause": "worn",
                       "consumed": ("SEAL",)}  # fmt: skip
    take(in_file, "issue", "COIL", **asked)
    take(in_file, "issue", "LINING", for_="overhaul", key="promised")

    assert take(in_file, "issue", "COIL", **asked).already
    assert "other contents" in refused(in_file, "issue", "COIL", **(asked | other))
    assert take(in_file, "issue", "LINING", for_="overhaul", key="promised").already
    assert "other contents" in refused(in_file, "issue", "LINING", key="promised")


def test_a_failure_to_which_nothing_was_added_is_known_when_asked_again(in_file: str) -> None:
    with closing(Database.open(in_file)) as opened, opened.writing() as connection:
        known = Failure(**COIL_AT, failed_on=LAST_MONTH, part="COIL")
        journal.put(connection, Edit("failures", None, known), KEEPER.stamp())
    take(in_file, "issue", "COIL", **COIL_AT, failed_on=LAST_MONTH)

    assert take(in_file, "issue", "COIL", **COIL_AT, failed_on=LAST_MONTH).already
    assert "other contents" in refused(in_file, "issue", "COIL", **COIL_AT, failed_on=LONG_AGO)


def test_the_key_of_a_count_that_found_no_difference_is_taken(storeroom: str) -> None:
    take(storeroom, "count", "COIL", 4)

    assert take(storeroom, "count", "COIL", 4).already
    again = take(storeroom, "count", "COIL", 4, store="main")
    assert (again.already, again.store) == (True, "main")
    assert "other contents" in refused(storeroom, "count", "COIL", 3)
    assert "other contents" in refused(storeroom, "count", "COIL", 4, store="crib")
    assert "other contents" in refused(storeroom, "count", "COIL", 4, date=LAST_MONTH)
    assert "other contents" in refused(storeroom, "count", "LINING", 4)
    assert "other contents" in refused(storeroom, "issue", "COIL", 4)


def test_a_transfer_that_is_asked_for_twice_is_one(storeroom: str) -> None:
    take(storeroom, "transfer", "COIL", 2, to_store="crib")

    assert take(storeroom, "transfer", "COIL", 2, to_store="crib").already
    assert held(storeroom, "COIL") == {"main": (2, 2), "crib": (2, 2)}


def test_every_movement_tells_who_entered_it_and_each_account_is_numbered(in_file: str) -> None:
    take(in_file, "transfer", "COIL", 2, to_store="crib", by="night shift")

    with closing(Database.open(in_file)) as opened, opened.reading() as connection:
        found = list(ledger.postings(connection, ["COIL"]))

    assert [(row.movement.store, row.number, row.movement.by) for row in found] == [
        ("crib", 1, "night shift"),
        ("main", 1, None),
        ("main", 2, "night shift"),
    ]
    assert {(row.stamp.who, row.stamp.place) for row in found} == {("keeper", "bench")}


def test_a_part_that_was_moved_is_not_taken_out_of_the_book(storeroom: str) -> None:
    coil = next(row for row in ROWS["parts"] if row.part == "COIL")

    with (
        closing(Database.open(storeroom)) as opened,
        pytest.raises(errors.RowRefused),
        opened.writing() as connection,
    ):
        delete_row(connection, "parts", coil)


def test_a_part_that_was_moved_is_not_taken_out_but_may_be_retired(in_file: str) -> None:
    take(in_file, "issue", "COIL", **COIL_AT)
    (coil,) = rows(in_file, "parts", part="COIL")
    (crane,) = rows(in_file, "cranes", crane="C1")

    for file, row, instead in (("parts", coil, "max_stock to 0"), ("cranes", crane, "retire_on")):
        told = " ".join(fault.reason for fault in records.remove(in_file, file, row, hand=KEEPER))
        assert "which stay for ever; to retire it" in told
        assert instead in told
    assert rows(in_file, "parts", part="COIL") == [coil]


# At a crane


def test_what_is_fitted_and_since_when_is_what_was_issued(storeroom: str) -> None:
    take(storeroom, "issue", "COIL", **COIL_AT)
    (coil,) = rows(storeroom, "positions", position="brake/coil")

    assert (coil.part, coil.installed, coil.hours_at_install) == ("COIL", TODAY, 15000.0)


def test_a_failure_is_recorded_in_the_same_step_and_the_exposure_knows_it(storeroom: str) -> None:
    before = exposures(read_snapshot(storeroom, TODAY))
    take(storeroom, "issue", "COIL", 3, key="planned")
    empty = exposures(read_snapshot(storeroom, TODAY))
    take(storeroom, "issue", "COIL", **COIL_AT, failed_on=LAST_MONTH, restored_on=TODAY,
         cause="burnt", consumed=("SEAL",))  # fmt: skip

    failed = exposures(read_snapshot(storeroom, TODAY))
    coils = [each.position(each.fleet.row("C1", "brake/coil")) for each in (before, empty, failed)]
    days = [coil.exposure_days or 0.0 for coil in coils]
    rates = [coil.failures_next_year or 0.0 for coil in coils]

    assert rows(storeroom, "failures") == [
        Failure(crane="C1", position="brake/coil", failed_on=LAST_MONTH, restored_on=TODAY,
                part="COIL", cause="burnt", consumed="SEAL")
    ]  # fmt: skip
    assert 0.0 < days[0] < days[1] < days[2]
    assert rates[0] == rates[1] < rates[2]


def test_a_step_that_is_refused_records_no_failure_either(storeroom: str) -> None:
    refused(storeroom, "issue", "COIL", 5, **COIL_AT, failed_on=TODAY)

    assert rows(storeroom, "failures") == []


def test_a_substitute_goes_where_load_is_borne_only_with_its_approval(in_file: str) -> None:
    take(in_file, "receive", "DUMMY", 2, certificate="C-1", store="main", key="in")

    assert "recorded approval" in refused(
        in_file, "issue", "DUMMY", 2, crane="C1", position="lining"
    )
    assert take(in_file, "issue", "DUMMY", **COIL_AT).notes[0] == "DUMMY stands in for COIL"


def test_a_part_that_may_stand_in_where_load_is_borne_needs_its_certificate(in_file: str) -> None:
    assert "bears load" in refused(in_file, "receive", "DUMMY")
    told = refused(in_file, "receive", "DUMMY", certificate="C-1")
    assert "@crib" in told, "a first delivery asks which of the stores it goes to"
    assert "main" in told


def test_what_holds_a_part_that_bears_load_needs_its_certificate_however_deep(
    tmp_path: Path,
) -> None:
    unit = [
        Position(crane="C1", position="unit", part="DRIVE"),
        Position(crane="C1", position="frame", parent="unit"),
        Position(crane="C1", position="hook", parent="frame", load_bearing=True),
    ]
    where = fill(str(tmp_path / "deep.db"), ROWS | {"positions": [*ROWS["positions"], *unit]})

    assert "bears load" in refused(where, "receive", "DRIVE", serial="A8")


def test_the_seals_that_go_with_a_coil_are_drawn_for_its_position(in_file: str) -> None:
    posted = take(in_file, "issue", "SEAL", 2, **COIL_AT, expires_on=NEXT_YEAR)
    (coil,) = rows(in_file, "positions", position="brake/coil")

    assert "used up with COIL at C1/brake/coil" in posted.notes
    assert (coil.part, coil.installed) == ("COIL", LONG_AGO)


def test_a_place_is_found_whatever_strokes_are_in_its_names(in_file: str, tmp_path: Path) -> None:
    assert stock.place(in_file, "C1/brake/coil") == ("C1", "brake/coil")
    assert stock.place(in_file, "C1") == ("C1", None)
    assert stock.place(in_file, "C1/B") == ("C1/B", None)
    assert stock.place(in_file, "C1/B/hook") == ("C1", "B/hook")
    with pytest.raises(errors.UnknownName, match="no crane is called 'C9'"):
        stock.place(in_file, "C9/hook")
    hook = Position(crane="C1/B", position="hook")
    where = fill(str(tmp_path / "hook.db"), ROWS | {"positions": [*ROWS["positions"], hook]})
    assert stock.place(where, "C1/B/hook") == ("C1/B", "hook")


# Promises, lots, serials


def test_promised_stock_is_left_to_its_job(storeroom: str) -> None:
    assert "promised 1 (1 for overhaul)" in refused(storeroom, "issue", "LINING", 5)

    take(storeroom, "issue", "LINING", 1, for_="overhaul")
    (promise,) = rows(storeroom, "reservations")

    assert promise.released_on == TODAY


def test_a_job_is_promised_once_and_released_once(storeroom: str) -> None:
    promise = Reservation(part="COIL", qty=3, for_="job 7", needed_on=NEXT_YEAR)

    assert reservations.reserve(storeroom, promise, KEEPER, TODAY) == ()
    assert "already" in reservations.reserve(storeroom, promise, KEEPER, TODAY)[0]
    more = Reservation(part="COIL", qty=4, for_="job 7")
    with pytest.raises(errors.StepRefused, match="3 COIL are promised to job 7 already"):
        reservations.reserve(storeroom, more, KEEPER, TODAY)
    assert reservations.release(storeroom, "COIL", "job 7", KEEPER, TODAY) == 3
    with pytest.raises(errors.StepRefused, match="nothing of COIL is promised"):
        reservations.release(storeroom, "COIL", "job 7", KEEPER, TODAY)
    assert reservations.reserve(storeroom, more, KEEPER, TODAY) == ()


def test_more_may_be_promised_than_is_there_and_that_is_said(in_file: str) -> None:
    promise = Reservation(part="COIL", qty=6, for_="job 7")

    assert reservations.reserve(in_file, promise, KEEPER, TODAY) == (
        "2 more promised than can be used now",
    )


@pytest.mark.parametrize(("qty", "for_"), [(0, "job"), (-3, "job"), (2, " "), (2, "a\x1b")])
def test_a_promise_that_no_book_could_hold_is_refused(in_file: str, qty: int, for_: str) -> None:
    with pytest.raises(errors.StepRefused):
        reservations.reserve(in_file, Reservation(part="COIL", qty=qty, for_=for_), KEEPER, TODAY)


def test_lots_past_their_life_are_not_issued_until_somebody_looked_at_them(storeroom: str) -> None:
    assert held(storeroom, "SEAL") == {"main": (5, 3)}
    assert "on hand 3, asked 4" in refused(storeroom, "issue", "SEAL", 4)

    take(storeroom, "transfer", "SEAL", 2, expires_on=LAST_MONTH, to_expires_on=NEXT_YEAR,
         note="hardness measured, J. Doe", key="look")  # fmt: skip

    assert held(storeroom, "SEAL") == {"main": (5, 5)}
    assert take(storeroom, "issue", "SEAL", 4).after == 1


def test_a_serial_number_is_one_unit(storeroom: str) -> None:
    assert "has a serial number: A7" in refused(storeroom, "issue", "DRIVE")
    take(storeroom, "transfer", "DRIVE", serial="A7", to_condition="quarantine", note="noisy",
         key="held")  # fmt: skip
    assert "quarantine is not issued" in refused(storeroom, "issue", "DRIVE", serial="A7")
    take(storeroom, "receive", "DRIVE", serial="B8", key="in")

    assert take(storeroom, "issue", "DRIVE", serial="B8").after == 1


# Deliveries


def test_a_delivery_in_parts_closes_its_order_with_the_last_and_the_supplier_is_learnt(
    storeroom: str,
) -> None:
    def wait() -> float:
        found = lead_time(read_snapshot(storeroom, TODAY), "COIL", 9).days_mean
        assert found is not None
        return found

    on_time = wait()
    first = take(storeroom, "receive", "COIL", 2, order="4711", certificate="C-1", key="a")
    assert (first.notes, wait()) == (("2 of 3 received, 1 to come",), on_time)
    assert "1 too many" in refused(storeroom, "receive", "COIL", 2, order="4711", certificate="C-2")

    last = take(storeroom, "receive", "COIL", 1, order="4711", certificate="C-2", key="b")

    assert last.notes == ("order 4711 is complete", "40 days later than due")
    assert rows(storeroom, "orders", order="4711")[0].received_on == TODAY
    assert wait() > on_time  # 80 days where 40 were quoted
    assert "received in full" in refused(
        storeroom, "receive", "COIL", 1, order="4711", certificate="C-3"
    )


def test_what_is_kept_over_the_order_is_said(in_file: str) -> None:
    posted = take(in_file, "receive", "COIL", 4, order="4711", certificate="C-1", over=True)

    assert "1 more than ordered" in posted.notes


# Undone


def test_an_undone_step_leaves_everything_as_it_was_but_the_journal(storeroom: str) -> None:
    before = everything(storeroom)[0]
    take(storeroom, "issue", "COIL", **COIL_AT, failed_on=LAST_MONTH, restored_on=TODAY)
    take(storeroom, "issue", "LINING", for_="overhaul", key="lining")
    take(storeroom, "receive", "COIL", 3, order="4711", certificate="C-1", key="in")
    for number, key in enumerate(("in", "lining", "k")):
        assert undo(storeroom, key, f"u{number}").notes == ()
    after = everything(storeroom)[0]

    assert {name: found for name, found in after.items() if name != "movements"} == {
        name: found for name, found in before.items() if name != "movements"
    }
    assert held(storeroom, "COIL") == {"main": (4, 4)}
    assert held(storeroom, "LINING") == {"main": (5, 5)}


def test_what_somebody_edited_since_stays_and_is_told(storeroom: str) -> None:
    take(storeroom, "issue", "COIL", **COIL_AT)
    (coil,) = rows(storeroom, "positions", position="brake/coil")
    edited = type(coil)(**{name: getattr(coil, name) for name in coil.__slots__}
                        | {"exchange_hours": 3.0})  # fmt: skip
    with closing(Database.open(storeroom)) as opened, opened.writing() as connection:
        journal.put(connection, Edit("positions", coil, edited), KEEPER.stamp())

    assert undo(storeroom, "k").notes == (
        "positions C1 brake/coil was edited since and stays as it is",
    )
    assert rows(storeroom, "positions", position="brake/coil") == [edited]
    assert held(storeroom, "COIL") == {"main": (4, 4)}


def test_two_who_edit_one_record_are_told_of_each_other(storeroom: str) -> None:
    (coil,) = rows(storeroom, "parts", part="COIL")
    values = {name: getattr(coil, name) for name in coil.__slots__}
    mine, theirs = (type(coil)(**values | {"min_stock": least}) for least in (1, 2))
    with closing(Database.open(storeroom)) as opened:
        with opened.writing() as connection:
            journal.put(connection, Edit("parts", coil, theirs), KEEPER.stamp())
        told = pytest.raises(errors.EditedMeanwhile, match="min_stock: was '3', is now '2'")
        with told, opened.writing() as connection:
            journal.put(connection, Edit("parts", coil, mine), KEEPER.stamp())

    assert rows(storeroom, "parts", part="COIL") == [theirs]


def test_a_step_is_undone_once_and_its_undoing_never(storeroom: str) -> None:
    take(storeroom, "issue", "COIL", 2)
    undo(storeroom, "k")

    again = undo(storeroom, "k")
    assert (again.already, again.before, again.after) == (True, 4, 4)
    with pytest.raises(errors.StepRefused, match="undone already, by 'u'"):
        undo(storeroom, "k", "other")
    with pytest.raises(errors.StepRefused, match="undoes another step"):
        undo(storeroom, "u", "other")
    assert "it was undone since" in take(storeroom, "issue", "COIL", 2).notes
    assert held(storeroom, "COIL") == {"main": (4, 4)}


def test_an_undoing_takes_no_key_that_is_used(in_file: str) -> None:
    take(in_file, "issue", "COIL", 2)
    take(in_file, "issue", "LINING", 1, key="other")

    with pytest.raises(errors.KeyTaken):
        undo(in_file, "k", "other")


def test_what_was_moved_is_moved_back_whichever_of_its_movements_is_named(storeroom: str) -> None:
    take(storeroom, "transfer", "COIL", 2, to_store="crib")
    undo(storeroom, "k/to")

    assert held(storeroom, "COIL") == {"main": (4, 4)}


def test_a_delivery_that_was_used_is_not_undone(storeroom: str) -> None:
    take(storeroom, "receive", "DRIVE", serial="B8", store="crib", key="in")
    take(storeroom, "issue", "DRIVE", serial="B8", store="crib")

    with pytest.raises(errors.ShortStock, match="on hand 0, asked 1, short 1"):
        undo(storeroom, "in")


def test_a_step_that_nobody_took_is_not_undone(in_file: str) -> None:
    with pytest.raises(errors.UnknownName, match="no movement is called 'nothing'"):
        undo(in_file, "nothing")


# Days, and the book


def test_a_step_dated_back_leaves_no_day_short(storeroom: str) -> None:
    take(storeroom, "issue", "COIL", 4, date=TODAY - timedelta(days=1))
    take(storeroom, "receive", "COIL", 2, certificate="C-1", key="in")

    assert "would have ended 2026-11-24 with -1" in refused(
        storeroom, "issue", "COIL", 1, key="late", date=TODAY - timedelta(days=1)
    )
    assert "lies ahead" in refused(storeroom, "issue", "COIL", key="x", date=date(2026, 11, 26))


def test_a_book_saved_after_many_steps_gives_the_same_stock_elsewhere(
    storeroom: str, tmp_path: Path
) -> None:
    take(storeroom, "issue", "COIL", **COIL_AT, failed_on=LAST_MONTH, consumed=("SEAL", "LINING"))
    take(storeroom, "transfer", "SEAL", 4, to_store="crib", key="both lots")
    take(storeroom, "scrap", "SEAL", 1, store="crib", note="hard,\nbrittle", key="scrap")
    take(storeroom, "count", "LINING", 6, key="found")
    take(storeroom, "care", "DRIVE", 0, key="turned")
    undo(storeroom, "scrap")
    reservations.reserve(storeroom, Reservation(part="COIL", qty=2, for_='"job", 7'), KEEPER, TODAY)
    books.save_book(storeroom, tmp_path / "book")
    report = books.load_book(tmp_path / "book", str(tmp_path / "again.db"), hand=KEEPER)
    again = str(tmp_path / "again.db")

    assert report.faults == ()
    for part in ("COIL", "LINING", "SEAL", "DRIVE"):
        assert held(again, part) == held(storeroom, part)
    assert everything(again)[0].keys() == everything(storeroom)[0].keys()
    assert take(again, "issue", "COIL", **COIL_AT).already is True
    assert undo(again, "both lots", "back").notes == ()


def test_the_longest_poles_follow_the_shelf(in_file: str) -> None:
    def days() -> float | None:
        fleet = outage(read_snapshot(in_file, TODAY))
        return next(
            row.restore_days for row in map(fleet.row, range(len(fleet))) if row.position == "drive"
        )

    before = days()
    take(in_file, "issue", "DRIVE", serial="A7")

    assert before is not None
    assert (days() or 0.0) - before == pytest.approx(60.0, rel=0.2)


def test_a_step_and_its_twin_differ_in_nothing_but_their_key(in_file: str) -> None:
    one, two = (stock.post(in_file, step("issue", "COIL", key=key), KEEPER, TODAY) for key in "ab")

    assert (one.after, two.after) == (3, 2)
