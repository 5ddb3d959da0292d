"""Textbook redundancy comes out when a book's needs say the same.

One crane, one function; the positions are the components. Every set of failed positions is asked
for and weighted with the chances of its components; the function stands when nothing is lost.
k-of-n values: the binomial distribution; 0.972 for 2 of 3 at 0.9 is in every reliability text
(from memory), the other values are reckoned apart by the binomial or by convolution and printed
nowhere that we know of. The bridge: Barlow and Proschan, Mathematical Theory of Reliability (1965)
(network and polynomial from memory).
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from datetime import date
from math import prod

import pytest

from parts.records.book import Book
from parts.records.catalogue import Part
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.states import State
from parts.records.structure import Crane, Function, Need, Position
from parts.services.outages import together

TODAY = date(2026, 11, 25)


def crane_with(components: list[str], needs: Iterable[Need], paths: Iterable[str] = ()) -> Snapshot:
    """A crane whose one function needs what `needs` says; a path is a position without a part."""
    book = Book()
    book["cranes"].append(Crane(crane="C"))
    book["functions"].append(Function(crane="C", function="work", lost_share=1.0))
    book["parts"].append(Part(part="P", default_lead_days=1.0))
    for name in components:
        book["positions"].append(Position(crane="C", position=name, part="P"))
    for name in paths:
        book["positions"].append(Position(crane="C", position=name))
    book["needs"].extend(needs)
    return snapshot_of(book, TODAY)


def reliability(snapshot: Snapshot, works: dict[str, float]) -> float:
    """The chance that the function stands, over every set of failed components."""
    total = 0.0
    for count in range(len(works) + 1):
        for failed in itertools.combinations(works, count):
            if failed:
                (crane,) = together(snapshot, [("C", name) for name in failed])
                if crane.state is State.DOWN:
                    continue
                assert crane.state is State.IN_SERVICE
            total += prod(1 - p if name in failed else p for name, p in works.items())
    return total


def k_of_n(at_least: int, chances: list[float]) -> float:
    works = {f"M{number}": chance for number, chance in enumerate(chances)}
    needs = [
        Need(crane="C", item="work", needs=name, group="twins", at_least=at_least) for name in works
    ]
    return reliability(crane_with(list(works), needs), works)


@pytest.mark.parametrize(
    ("at_least", "size", "chance", "expected"),
    [
        pytest.param(2, 3, 0.9, 0.972, id="2-of-3-at-0.9-in-every-text-from-memory"),
        (2, 3, 0.95, 0.99275),
        (2, 4, 0.9, 0.9963),
        (3, 5, 0.9, 0.99144),
        (4, 6, 0.8, 0.90112),
        (8, 10, 0.85, 0.8201964804),
    ],
)
def test_at_least_k_of_equal_members_is_the_binomial(
    at_least: int, size: int, chance: float, expected: float
) -> None:
    assert k_of_n(at_least, [chance] * size) == pytest.approx(expected, abs=1e-10)


@pytest.mark.parametrize(
    ("at_least", "chances", "expected"),
    [
        (2, [0.9, 0.8, 0.7], 0.902),
        (2, [0.9, 0.8, 0.7, 0.6], 0.9572),
        (3, [0.9, 0.8, 0.7, 0.6], 0.7428),
    ],
)
def test_at_least_k_of_unequal_members_is_the_convolution(
    at_least: int, chances: list[float], expected: float
) -> None:
    assert k_of_n(at_least, chances) == pytest.approx(expected, abs=1e-12)


def test_a_series_is_the_product_and_a_pair_its_complement() -> None:
    assert k_of_n(2, [0.9, 0.8]) == pytest.approx(0.9 * 0.8, abs=1e-12)
    assert k_of_n(1, [0.9, 0.8]) == pytest.approx(1 - 0.1 * 0.2, abs=1e-12)


@pytest.mark.parametrize(
    ("chance", "expected"),
    [(0.9, 0.97848), (0.95, 0.994780625), (0.99, 0.9997980498), (0.5, 0.5)],
    ids=lambda figure: f"{figure}-from-memory",
)
def test_the_bridge_network_stands_by_its_four_paths(chance: float, expected: float) -> None:
    """Paths 1-4, 2-5, 1-3-5 and 2-3-4 share components, so they are items that need them."""
    paths = {"P14": "14", "P25": "25", "P135": "135", "P234": "234"}
    needs = [
        Need(crane="C", item="work", needs=path, group="paths", at_least=1) for path in paths
    ] + [Need(crane="C", item=path, needs=name) for path, names in paths.items() for name in names]
    works = dict.fromkeys("12345", chance)
    polynomial = 2 * chance**2 + 2 * chance**3 - 5 * chance**4 + 2 * chance**5

    found = reliability(crane_with(list("12345"), needs, paths), works)

    assert found == pytest.approx(polynomial, abs=1e-12)
    assert found == pytest.approx(expected, abs=1e-10)


def test_the_bridge_of_unequal_components() -> None:
    """Reckoned apart by going through all 32 states: 0.9831168."""
    paths = {"P14": "14", "P25": "25", "P135": "135", "P234": "234"}
    needs = [
        Need(crane="C", item="work", needs=path, group="paths", at_least=1) for path in paths
    ] + [Need(crane="C", item=path, needs=name) for path, names in paths.items() for name in names]
    works = dict(zip("12345", [0.95, 0.9, 0.8, 0.92, 0.88], strict=True))

    found = reliability(crane_with(list("12345"), needs, paths), works)

    assert found == pytest.approx(0.9831168, abs=1e-9)
