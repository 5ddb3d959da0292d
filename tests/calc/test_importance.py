"""What is down how often, and how much each position has to do with it: cases told by hand."""

from __future__ import annotations

import pytest

from parts.calc.failing.consequences import CraneNeeds
from parts.calc.failing.fleet import NONE
from parts.calc.needs.decision_diagram import Diagram, TooEntangled
from parts.calc.needs.drawings import Drawing
from parts.calc.needs.importance import Importance, Importances, importances_of_crane
from parts.calc.needs.structures import down, structure_of


def crane(positions: list[str], functions: dict[str, float]) -> CraneNeeds:
    return CraneNeeds(positions, [NONE] * len(positions), functions)


def pair_of_drives(share: float = 1.0) -> CraneNeeds:
    """Hoisting needs one of two drives and the rope."""
    needs = crane(["A", "B", "rope"], {"hoist": share})
    needs.add("hoist", "A", "drives", 1)
    needs.add("hoist", "B", "drives", 1)
    needs.add("hoist", "rope", None, None)
    return needs


def test_a_crane_without_functions_is_never_down() -> None:
    found = importances_of_crane(crane(["A"], {}), {"A": 0.5})

    assert found == Importances(0.0, {"A": Importance(0.5, 0.0, 0.0, 0.0)})


def test_a_function_that_is_less_than_all_of_the_work_does_not_put_a_crane_down() -> None:
    found = importances_of_crane(pair_of_drives(share=0.9), {"A": 0.5, "B": 0.5, "rope": 0.5})

    assert found.unavailability == 0.0
    assert {row[1:] for row in found.events.values()} == {(0.0, 0.0, 0.0)}


def test_where_nothing_fails_all_importances_are_zero() -> None:
    found = importances_of_crane(pair_of_drives(), {"A": 0.0, "B": 0.0, "rope": 0.0})

    assert found.unavailability == 0.0
    assert {row[1:] for row in found.events.values()} == {(0.0, 0.0, 0.0)}


def test_a_position_that_nothing_needs_has_no_importance() -> None:
    needs = crane(["A", "lamp"], {"hoist": 1.0})
    needs.add("hoist", "A", None, None)

    found = importances_of_crane(needs, {"A": 0.25, "lamp": 0.5})

    assert found.unavailability == 0.25
    assert found.events["A"] == Importance(0.25, 1.0, 1.0, 1.0)
    assert found.events["lamp"] == Importance(0.5, 0.0, 0.0, 0.0)


def test_unknown_restoring_leaves_the_crane_unknown_and_is_named() -> None:
    found = importances_of_crane(pair_of_drives(), {"A": 0.1, "B": None, "rope": 0.1})

    assert found == Importances(None, {}, ("B",))


def test_unknown_restoring_of_what_does_not_stop_the_crane_leaves_its_figures() -> None:
    needs = crane(["A", "horn"], {"hoist": 1.0, "warn": 0.2})
    needs.add("hoist", "A", None, None)
    needs.add("warn", "horn", None, None)

    found = importances_of_crane(needs, {"A": 0.1, "horn": None})

    assert found.unavailability == 0.1
    assert found.unknown == ()


def test_a_part_that_is_always_down_leaves_nothing_to_decide_for_the_others() -> None:
    found = importances_of_crane(pair_of_drives(), {"A": 0.1, "B": 0.1, "rope": 1.0})

    assert found.unavailability == 1.0
    assert found.events["A"].birnbaum == 0.0
    assert found.events["rope"].birnbaum == pytest.approx(0.99)


def test_a_pair_of_rare_failures_keeps_its_digits_beside_a_frequent_one() -> None:
    """dQ/du_A = u_B x (1 - u_rope): a difference of two chances near 0.3 would lose it."""
    found = importances_of_crane(pair_of_drives(), {"A": 1e-12, "B": 3e-13, "rope": 0.3})

    assert found.events["A"].birnbaum == pytest.approx(3e-13 * 0.7, rel=1e-14, abs=0)
    assert found.events["A"].fussell_vesely == pytest.approx(3e-25 / 0.3, rel=1e-12, abs=0)


def test_a_failed_assembly_takes_everything_inside_it() -> None:
    needs = CraneNeeds(["gearbox", "bearing"], [NONE, 0], {"hoist": 1.0})
    needs.add("hoist", "bearing", None, None)
    needs.add_assemblies()

    found = importances_of_crane(needs, {"gearbox": 0.1, "bearing": 0.2})

    assert found.unavailability == pytest.approx(1.0 - 0.9 * 0.8)


def large_crane() -> tuple[CraneNeeds, dict[str, float]]:
    """400 positions: two drives of fifty with a shared supply, twenty groups, the rest needed."""
    positions, parents = ["drive A", "drive B"], [NONE, NONE]
    for place, drive in enumerate("AB"):
        positions += [f"{drive}{number}" for number in range(50)]
        parents += [place] * 50
    groups = [[f"G{group} {number}" for number in range(2 + group % 3)] for group in range(20)]
    positions += ["supply", *(name for members in groups for name in members)]
    positions += [f"P{number}" for number in range(400 - len(positions))]
    parents += [NONE] * (len(positions) - len(parents))
    needs = CraneNeeds(positions, parents, {"hoist": 1.0, "travel": 1.0})
    for drive in ("drive A", "drive B"):
        needs.add("hoist", drive, "drives", 1)
        needs.add(drive, "supply", None, None)
    for place, members in enumerate(groups):
        for name in members:
            needs.add("travel", name, f"group {place}", max(1, len(members) - 1))
    for name in positions:
        if name.startswith("P"):
            needs.add("travel", name, None, None)
    needs.add_assemblies()
    return needs, {name: 1e-4 for name in positions if not name.startswith("drive")}


def test_a_large_crane_needs_a_small_diagram() -> None:
    """Fifty positions of a drive that act alike are one variable; nothing is enumerated."""
    needs, chances = large_crane()
    structure, branches = structure_of(needs, chances)
    top = down(needs, branches)
    drawings = [Drawing(structure, *part) for part in structure.independent(top)]

    assert len(needs.positions) == 400
    assert sum(len(each.diagram.variable) for each in drawings) < 500


def test_a_large_cranes_pair_of_drives_comes_out_as_told_by_hand() -> None:
    needs, chances = large_crane()
    found = importances_of_crane(needs, chances)

    alive = {"drive": (1 - 1e-4) ** 50, "one": 1 - 1e-4}
    supply_or_both = 1 - alive["one"] * (1 - (1 - alive["drive"]) ** 2)
    assert found.unavailability is not None
    share = (1 - 1e-4) * (1 - alive["drive"]) * alive["drive"] / alive["one"]
    rest_stands = (1 - found.unavailability) / (1 - supply_or_both)
    assert found.events["A7"].birnbaum == pytest.approx(share * rest_stands, rel=1e-9)
    assert found.events["supply"].fussell_vesely == pytest.approx(1e-4 / found.unavailability)


def test_needs_that_cross_too_much_are_refused_with_a_reason(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("parts.calc.needs.decision_diagram.LIMIT_NODES", 10)
    diagram = Diagram()

    with pytest.raises(TooEntangled, match="groups that share members"):
        diagram.at_least(5, [diagram.event(variable) for variable in range(10)])


def test_a_chain_of_needs_may_be_as_long_as_it_likes() -> None:
    names = [f"P{place}" for place in range(3000)]
    needs = crane(names, {"hoist": 1.0})
    needs.add("hoist", "P0", None, None)
    for lower, upper in zip(names[1:], names[:-1], strict=True):
        needs.add(upper, lower, None, None)

    found = importances_of_crane(needs, dict.fromkeys(names, 1e-4))

    assert found.unavailability == pytest.approx(1.0 - (1.0 - 1e-4) ** 3000)


def test_a_ladder_of_pairs_stays_narrow() -> None:
    """Each of a hundred pairs needs one of the next pair: what several rest on is drawn last."""
    names = [f"P{place}" for place in range(200)]
    needs = crane(names, {"hoist": 1.0})
    for name in names[:2]:
        needs.add("hoist", name, "next", 1)
    for place, name in enumerate(names[:-2]):
        first = (place // 2 + 1) * 2
        for below in names[first : first + 2]:
            needs.add(name, below, "next", 1)

    found = importances_of_crane(needs, dict.fromkeys(names, 1e-3))

    assert found.unavailability == pytest.approx(1.0 - (1.0 - 1e-6) ** 100, rel=1e-9, abs=0)
