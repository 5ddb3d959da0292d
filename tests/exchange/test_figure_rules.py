"""Figures and words of one row agree with each other, and the ledger adds up."""

from __future__ import annotations

from pathlib import Path

import pytest

from parts.records.book import Book
from tests.exchange.small_book import bare, checked, sentences

OFFERS = "supplier,part,low,likely,high,route,approval\n"
MOVES = "date,part,qty,kind,store\n"


def found(tmp_path: Path, file: str, content: str) -> list[str]:
    book = bare(tmp_path / "b", **{"suppliers": "supplier\nS1\n", file: content})
    return [line.removeprefix(f"{file}.csv ") for line in sentences(book)]


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("S1,P1,1,2,3,,", []),
        ("S1,P1,2,2,2,,", []),
        ("S1,P1,3,2,,,", ["row 2 column low: '3' is above likely, which is '2'"]),
        ("S1,P1,,2,1,,", ["row 2 column likely: '2' is above high, which is '1'"]),
        ("S1,P1,,,,,", ["row 2 column likely: must not be blank where no route is given"]),
    ],
)
def test_three_points_rise(tmp_path: Path, row: str, expected: list[str]) -> None:
    assert found(tmp_path, "offers", f"{OFFERS}{row}\n") == expected


def test_low_above_high_is_a_fault_where_a_route_stands_for_likely(tmp_path: Path) -> None:
    book = bare(
        tmp_path / "b",
        suppliers="supplier\nS1\n",
        routes="route,operation,likely\nR1,a,1\n",
        offers=f"{OFFERS}S1,P1,9.5,,4,R1,\n",
    )

    assert sentences(book) == ["offers.csv row 2 column low: '9.5' is above high, which is '4'"]


@pytest.mark.parametrize("word", ["no", "NONE", "Pending", "n/a", "-", "N/A"])
def test_a_word_that_denies_is_no_approval(tmp_path: Path, word: str) -> None:
    (sentence,) = found(tmp_path, "offers", f"{OFFERS}S1,P1,,2,,,{word}\n")

    assert sentence == (
        f"row 2 column approval: '{word}' is no approval; "
        "name who approved it and when, or leave it blank"
    )


@pytest.mark.parametrize(
    ("key", "value", "reason"),
    [
        ("hours_per_day", "0", "value: '0' must be above 0"),
        ("hours_per_day", "24.5", "value: '24.5' is more than a day has"),
        ("confidence", "1", "value: '1' must lie between 0 and 1"),
        ("working_week", "0000000", "value: '0000000' has no working day"),
        ("working_week", "11111", "value: '11111' is not seven marks 0 or 1, Monday to Sunday"),
        ("donors", "maybe", "value: 'maybe' is neither yes nor no"),
        ("holding_rate", "-1", "value: '-1' is negative"),
        ("records_from", "2020", "value: '2020' is not a date written YYYY-MM-DD"),
    ],
)
def test_a_setting_is_of_its_own_kind(tmp_path: Path, key: str, value: str, reason: str) -> None:
    assert found(tmp_path, "site", f"key,value\n{key},{value}\n") == [f"row 2 column {reason}"]


def test_an_unknown_setting_is_refused(tmp_path: Path) -> None:
    (sentence,) = found(tmp_path, "site", "key,value\nCurrency,EUR\n")

    assert sentence.startswith("row 2 column key: 'Currency' is not a setting; there are currency,")


@pytest.mark.parametrize(
    ("spectrum", "reason"),
    [
        ("1:0.5+0.5:0.5", None),
        ("1:0.34+0.5:0.33+0.2:0.31", None),
        ("1:0.5+0.5:0.4", "has shares that add up to 0.9 instead of 1"),
        ("1:0.5+0.5", "is not made of pairs such as 0.5:20 joined by +"),
        ("1:half", "holds '1:half', which is not a pair of numbers"),
        ("1:-1+1:2", "holds a negative load or share"),
    ],
)
def test_a_spectrum_is_pairs_whose_shares_make_one(
    tmp_path: Path, spectrum: str, reason: str | None
) -> None:
    lines = found(tmp_path, "duty", f"crane,mechanism,spectrum\nC1,hoist,{spectrum}\n")

    assert lines == ([f"row 2 column spectrum: '{spectrum}' {reason}"] if reason else [])


@pytest.mark.parametrize(
    ("points", "reason"),
    [
        ("0:0+0.5:20+1:70", None),
        ("0:100", None),
        ("1:0+1:5", "has points whose first figures do not rise"),
        ("0:0+1:101", "has a score outside 0 to 100"),
        ("0:0+", "is not made of pairs such as 0.5:20 joined by +"),
    ],
)
def test_points_rise_and_score_at_most_a_hundred(
    tmp_path: Path, points: str, reason: str | None
) -> None:
    lines = found(tmp_path, "scores", f"driver,weight,points\nage,0.3,{points}\n")

    assert lines == ([f"row 2 column points: '{points}' {reason}"] if reason else [])


@pytest.mark.parametrize(("weight", "faults"), [("0.35", 0), ("0.351", 0), ("0.4", 1)])
def test_the_weights_of_all_drivers_make_one(tmp_path: Path, weight: str, faults: int) -> None:
    scores = f"driver,weight,points\nage,0.3,0:0\nsources,0.35,0:0\nlead_time,{weight},0:0\n"
    lines = found(tmp_path, "scores", scores)

    assert len(lines) == faults
    assert all(
        line == "row 4 column weight: the weights of all drivers add up to 1.05 instead of 1"
        for line in lines
    )


@pytest.mark.parametrize(
    ("kind", "qty", "wanted"),
    [
        ("opening", "0", "above 0"),
        ("receipt", "-1", "above 0"),
        ("return", "0", "above 0"),
        ("issue", "1", "below 0"),
        ("scrap", "0", "below 0"),
        ("count", "0", "other than 0"),
        ("transfer", "0", "other than 0"),
        ("reversal", "0", "other than 0"),
        ("care", "1", "0"),
    ],
)
def test_the_sign_fits_the_kind_of_movement(
    tmp_path: Path, kind: str, qty: str, wanted: str
) -> None:
    lines = found(tmp_path, "movements", f"{MOVES}2026-01-01,P1,{qty},{kind},\n")

    assert lines[0] == f"row 2 column qty: '{qty}' must be {wanted} for kind {kind}"


def test_stock_may_fall_below_zero_within_a_day_but_not_at_its_end(tmp_path: Path) -> None:
    within = f"{MOVES}2026-01-02,P1,-1,issue,A\n2026-01-02,P1,1,receipt,A\n"
    short = (
        f"{within}2026-01-04,P1,2,receipt,A\n2026-01-03,P1,-1,issue,A\n2026-01-05,P1,-9,issue,A\n"
    )

    assert found(tmp_path, "movements", within) == []
    assert found(tmp_path, "movements", short) == [
        "row 5 column qty: leaves -1 of 'P1' in store 'A' at the end of 2026-01-03"
    ]


def test_each_store_has_a_balance_of_its_own(tmp_path: Path) -> None:
    moves = f"{MOVES}2026-01-01,P1,5,opening,A\n2026-01-02,P1,-1,issue,\n"

    assert found(tmp_path, "movements", moves) == [
        "row 3 column qty: leaves -1 of 'P1' in no named store at the end of 2026-01-02"
    ]


def test_stock_is_reckoned_with_what_the_database_holds(tmp_path: Path) -> None:
    opening = bare(tmp_path / "b", movements=f"{MOVES}2026-01-01,P1,2,opening,A\n")
    existing = checked(opening, Book()).book
    later = bare(tmp_path / "b", movements=f"{MOVES}2026-01-02,P1,-3,issue,A\n")

    assert sentences(later, existing) == [
        "movements.csv row 2 column qty: leaves -1 of 'P1' in store 'A' at the end of 2026-01-02"
    ]


def test_a_refused_movement_casts_no_doubt_on_the_balance(tmp_path: Path) -> None:
    moves = f"{MOVES}2026-01-01,P1,x,opening,A\n2026-01-02,P1,-1,issue,A\n"

    assert found(tmp_path, "movements", moves) == ["row 2 column qty: 'x' is not a whole number"]


def test_a_movement_is_reversed_once(tmp_path: Path) -> None:
    moves = (
        "date,part,qty,kind,reverses,key\n2026-01-01,P1,2,opening,,m1\n"
        "2026-01-02,P1,-2,reversal,m1,m2\n2026-01-03,P1,2,receipt,,m3\n"
        "2026-01-04,P1,-2,reversal,m1,m4\n"
    )

    assert found(tmp_path, "movements", moves) == [
        "row 5 column reverses: 'm1' is already reversed in row 3"
    ]
