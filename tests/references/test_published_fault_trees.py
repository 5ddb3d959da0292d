"""Published fault trees come out at the digits that their sources print.

Sources, how we know each and its errata stand in fault_trees.toml. A tree is put in as the needs
of one crane: events and gates are positions, of which only the events fail by themselves. Sums
over cut sets are reckoned here, from the cut sets found, to show where they part from the exact
figures. Achievement worth is P(top | event) / Q, reduction worth Q / P(top | not event), both from
Birnbaum's importance; as the library's tests use them.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from decimal import Decimal
from math import exp, inf, prod
from pathlib import Path
from typing import Any

import pytest

from parts.calc.failing.consequences import CraneNeeds
from parts.calc.failing.fleet import NONE
from parts.calc.needs.cut_sets import cut_sets
from parts.calc.needs.importance import Importances, importances_of_crane

Tree = dict[str, Any]
TREES: list[Tree] = tomllib.loads(
    Path(__file__).with_name("fault_trees.toml").read_text(encoding="utf-8")
)["tree"]


def needs_of(events: list[str], gates: list[tuple[str, str | int, list[str]]]) -> CraneNeeds:
    names = [*events, *(name for name, _, _ in gates)]
    needs = CraneNeeds(names, [NONE] * len(names), {"work": 1.0})
    for name, how, inputs in gates:
        failing = {"any": 1, "all": len(inputs)}.get(str(how), how)
        for each in inputs:
            needs.add(name, each, "inputs", len(inputs) - int(failing) + 1)
    needs.add("work", gates[-1][0], None, None)
    return needs


class Reckoned:
    """Every figure of a tree, exact or by the sums over its cut sets that sources print."""

    def __init__(self, tree: Tree) -> None:
        self.chances: dict[str, float] = tree["chances"]
        needs = needs_of(list(self.chances), tree["gates"])
        self.exact: Importances = importances_of_crane(needs, self.chances)
        self.unavailability = self.exact.unavailability or 0.0
        self.cut_sets = cut_sets(needs, frozenset(self.chances), order=len(self.chances))
        self.products: list[float] = [
            prod(self.chances[name] for name in each) for each in self.cut_sets
        ]
        self.rare_event_sum = sum(self.products, 0.0)
        self.upper_bound = 1.0 - prod(1.0 - each for each in self.products)

    def own_products(self, event: str) -> float:
        pairs = zip(self.cut_sets, self.products, strict=True)
        return sum((product for names, product in pairs if event in names), 0.0)

    def of_event(self, figure: str, event: str) -> float:
        row, q = self.exact.events[event], self.unavailability
        if figure in row._fields:
            return float(getattr(row, figure))
        if figure == "achievement_worth":
            return 1.0 + (1.0 - row.unavailability) * row.birnbaum / q
        if figure == "reduction_worth":
            return inf if row.criticality == pytest.approx(1.0) else 1.0 / (1.0 - row.criticality)
        if figure == "rare_event_fussell_vesely":
            return self.own_products(event) / self.rare_event_sum
        assert figure == "own_cut_sets_per_cent"
        return 100.0 * self.own_products(event) / q


def figures() -> Iterator[Any]:
    """Each figure of each tree: printed or computed, its name, its event if it has one."""
    for tree in TREES:
        for kind in ("printed", "computed"):
            how = tree["known"] if kind == "printed" else kind
            for figure, value in tree.get(kind, {}).items():
                rows = value if isinstance(value, dict) else {"": value}
                for event, text in rows.items():
                    if figure != "agrees_to":
                        name = f"{tree['name']}-{figure}-{event}-{how.replace(' ', '-')}"
                        yield pytest.param(tree, kind, figure, event, text, id=name)


@pytest.mark.parametrize(("tree", "kind", "figure", "event", "text"), list(figures()))
def test_a_tree_gives_its_figures(
    tree: Tree, kind: str, figure: str, event: str, text: str
) -> None:
    reckoned = Reckoned(tree)

    found = reckoned.of_event(figure, event) if event else getattr(reckoned, figure)

    allowed = tree[kind].get("agrees_to")
    if allowed is None and text != "inf":
        last_digit = float(Decimal(1).scaleb(int(Decimal(text).as_tuple().exponent)))
        assert found == pytest.approx(float(text), abs=0.5001 * last_digit, rel=1e-12)
    else:
        assert found == pytest.approx(float(text), rel=allowed, abs=0)


@pytest.mark.parametrize("tree", [pytest.param(t, id=t["name"]) for t in TREES if "cut_sets" in t])
def test_a_tree_has_its_minimal_cut_sets(tree: Tree) -> None:
    assert list(Reckoned(tree).cut_sets) == [tuple(each) for each in tree["cut_sets"]]


def tree_named(name: str) -> Reckoned:
    return Reckoned(next(tree for tree in TREES if tree["name"] == name))


@pytest.mark.parametrize("name", ["lecture_seven_cut_sets", "two_trains_alike"])
def test_a_chance_stays_below_one_where_the_sum_over_cut_sets_does_not(name: str) -> None:
    tree = tree_named(name)

    assert tree.rare_event_sum > 1.0
    assert tree.unavailability < tree.upper_bound < 1.0


def test_of_three_definitions_fussell_vesely_is_the_union_of_cut_sets() -> None:
    tree = tree_named("two_trains_unequal")
    union, criticality = tree.exact.events["P1"].fussell_vesely, tree.exact.events["P1"].criticality

    assert (round(union, 3), round(criticality, 3)) == (0.789, 0.474)
    assert tree.of_event("rare_event_fussell_vesely", "P1") == pytest.approx(0.6)


def test_shares_of_the_pressure_tanks_cut_sets() -> None:
    """Reckoned apart from the program, from the handbook's data."""
    tree = tree_named("pressure_tank_handbook")
    share = {
        names: 100.0 * product / tree.unavailability
        for names, product in zip(tree.cut_sets, tree.products, strict=True)
    }

    assert round(share["T",], 3) == 14.279
    assert round(share["K2",], 3) == 85.675
    assert round(share["R", "S"], 4) == 0.0286


# F. Flammini et al., "Quantitative security and dependability analysis" of a radio block centre
# (HASE 2005), the FFORT model rbc (read in a public test file that quotes both figures): groups in
# series, each with how many, how many must fail, failures an hour, repairs an hour.
RADIO_BLOCK_CENTRE = [
    (3, 3, 1.8182e-5, 6.0),
    (2, 2, 2.5e-6, 6.0),
    (2, 2, 4.4444e-6, 4.0),
    (2, 2, 5.7078e-6, 6.0),
    (3, 2, 7.4074e-6, 6.0),
    (2, 2, 3.003e-9, 4.0),
]


def radio_block_centre(chances: list[float]) -> tuple[float, float]:
    """Its unavailability on the diagram, and as 1 - product of (1 - q), which cancels."""
    gates: list[tuple[str, str | int, list[str]]] = []
    events: dict[str, float] = {}
    naive = 1.0
    for place, ((count, failing, _, _), q) in enumerate(
        zip(RADIO_BLOCK_CENTRE, chances, strict=True)
    ):
        names = [f"{place}{letter}" for letter in "abc"[:count]]
        events |= dict.fromkeys(names, q)
        gates.append((f"group {place}", failing, names))
        naive *= 1.0 - (3 * q**2 * (1 - q) + q**3 if failing < count else q**count)
    gates.append(("TOP", "any", [name for name, _, _ in gates]))
    found = importances_of_crane(needs_of(list(events), gates), events).unavailability
    assert found is not None
    return found, 1.0 - naive


def test_chances_of_a_billionth_do_not_cancel() -> None:
    repaired, cancelled = radio_block_centre([f / (f + r) for _, _, f, r in RADIO_BLOCK_CENTRE])
    first_hour, _ = radio_block_centre([1.0 - exp(-f) for _, _, f, _ in RADIO_BLOCK_CENTRE])

    assert repaired == pytest.approx(6.8855993019126e-12, rel=1e-9, abs=0)
    assert cancelled != pytest.approx(6.8855993019126e-12, rel=1e-7, abs=0)
    assert first_hour == pytest.approx(2.231940944647528e-10, rel=1e-9, abs=0)


@pytest.mark.parametrize(
    ("at_least", "works", "reliability"),
    [
        pytest.param(2, [0.9] * 3, "0.972", id="2-of-3-in-every-text-from-memory"),
        pytest.param(2, [0.95] * 3, "0.99275", id="2-of-3-binomial"),
        pytest.param(2, [0.9] * 4, "0.9963", id="2-of-4-binomial"),
        pytest.param(3, [0.9] * 5, "0.99144", id="3-of-5-binomial"),
        pytest.param(4, [0.8] * 6, "0.90112", id="4-of-6-binomial"),
        pytest.param(8, [0.85] * 10, "0.8201964804", id="8-of-10-binomial"),
        pytest.param(2, [0.9, 0.8, 0.7], "0.902", id="2-of-3-unequal-convolution"),
        pytest.param(2, [0.9, 0.8, 0.7, 0.6], "0.9572", id="2-of-4-unequal-convolution"),
        pytest.param(3, [0.9, 0.8, 0.7, 0.6], "0.7428", id="3-of-4-unequal-convolution"),
    ],
)
def test_a_group_stands_with_its_reliability(
    at_least: int, works: list[float], reliability: str
) -> None:
    chances = {f"M{place}": 1.0 - each for place, each in enumerate(works)}
    names = list(chances)
    needs = CraneNeeds(names, [NONE] * len(names), {"work": 1.0})
    for name in names:
        needs.add("work", name, "members", at_least)

    found = importances_of_crane(needs, chances).unavailability

    assert found == pytest.approx(1.0 - float(reliability), abs=1e-10)


@pytest.mark.parametrize(
    ("works", "reliability"), [(0.9, "0.97848"), (0.95, "0.994780625"), (0.99, "0.9997980498")]
)
def test_the_bridge_follows_its_polynomial(works: float, reliability: str) -> None:
    """2p^2 + 2p^3 - 5p^4 + 2p^5: Barlow and Proschan (1975), from memory."""
    tree = next(tree for tree in TREES if tree["name"] == "bridge")
    alike = Reckoned({**tree, "chances": dict.fromkeys(tree["chances"], 1.0 - works)})

    assert 1.0 - alike.unavailability == pytest.approx(float(reliability), abs=1e-10)
    assert 1.0 - alike.unavailability == pytest.approx(
        2 * works**2 + 2 * works**3 - 5 * works**4 + 2 * works**5, abs=1e-12
    )
