"""Upgrades against spares on the screen: what is said, what keys do, where it comes from.

The site is made up; its figures are added up in `small_site`. The pinion takes 55,053 EUR a year.
It can be bought for 5,000 EUR; one upgrade halves its failures for 20,000 EUR, one brings a brake
that nobody knows, and one has no cost on record.
"""

from __future__ import annotations

from threading import Event

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from parts.records.comparison_answers import ComparisonAnswer
from parts.records.history import Upgrade, UpgradeEffect
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.supply import Offer
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import LARGE, SMALL, TODAY, opened, press, settle, small_book, words
from tui.screens.compare import CompareScreen
from tui.screens.plan import PlanScreen
from tui.site import Site

BOTH_SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "140x45"])


def with_upgrades() -> Snapshot:
    book = small_book()
    book["offers"].append(
        Offer(supplier="gear shop", part="PIN-7", likely=61.0, unit_price=5000.0, approval="drawn")
    )
    book["upgrades"].extend([
        Upgrade(upgrade="soft start", title="start [b]softly[/b]", cost=20_000.0, lead_days=90.0,
                down_days=2.0, life_years=20.0),
        Upgrade(upgrade="brakes", title="brakes of another make", cost=3000.0, lead_days=30.0,
                down_days=1.0, life_years=20.0),
        Upgrade(upgrade="one day", title="a new crane"),
    ])  # fmt: skip
    book["upgrade_effects"].extend([
        UpgradeEffect(upgrade="soft start", crane="HM-1", position="pinion", failures_factor=0.5),
        UpgradeEffect(upgrade="brakes", crane="HM-1", position="brake 1", new_part="SEAL-3"),
        UpgradeEffect(upgrade="one day", crane="HM-1", position="lamp"),
    ])  # fmt: skip
    return snapshot_of(book, TODAY)


async def put(pilot: Pilot[None], text: str) -> None:
    """Put a text into the line, as a paste would."""
    pilot.app.screen.query_one(Input).value = text
    await settle(pilot)


def row(pilot: Pilot[None], name: str) -> str:
    """The line of the table that begins with a name."""
    return next(line for line in screen_lines(pilot.app) if line.startswith(f" {name} "))


@BOTH_SIZES
async def test_the_plan_leads_to_all_choices_within_its_money(size: tuple[int, int]) -> None:
    async with opened(with_upgrades, size=size) as pilot:
        await press(pilot, "b")
        await put(pilot, "25000")
        await press(pilot, "c")
        text = words(pilot)

        assert "longpole › plan › upgrades" in screen_lines(pilot.app)[0]
        assert "Over 15 years at 8 %, what costs least within 25,000 EUR is spares:" in text
        assert "a year instead of 55,053 EUR. It takes" in text
        assert "55,053" in row(pilot, "as it is")
        assert "25,000" in row(pilot, "soft start + spares")
        assert "← least" in row(pilot, "spares")
        await press(pilot, "escape")

        assert isinstance(pilot.app.screen, PlanScreen)
        assert pilot.app.screen.query_one(Input).value == "25000"


async def test_the_choice_under_the_cursor_tells_what_makes_up_its_cost() -> None:
    async with opened(with_upgrades, size=LARGE) as pilot:
        await press(pilot, "b")
        await put(pilot, "25000")
        await press(pilot, "c")

        assert "Spares, in order of purchase: " in words(pilot)
        assert "EUR for purchases" in words(pilot)
        await press(pilot, "home")

        assert "as it is: leave all as it is" in words(pilot)
        await press(pilot, *["down"] * 30)
        text = words(pilot)

        assert "not known" in row(pilot, "one day")
        assert "one day: a new crane" in text
        assert "One day: no cost is recorded, so it cannot be weighed." in text


async def test_what_somebody_called_an_upgrade_is_shown_as_written() -> None:
    async with opened(with_upgrades, size=LARGE) as pilot:
        await press(pilot, "b")
        await put(pilot, "21000")
        await press(pilot, "c", "home")
        while "soft start:" not in words(pilot):
            await press(pilot, "down")

        assert "soft start: start [b]softly[/b]" in words(pilot)
        assert "EUR for days down for fitting" in words(pilot)


async def test_tab_tells_how_all_were_compared_and_comes_back() -> None:
    async with opened(with_upgrades, size=LARGE) as pilot:
        await press(pilot, "b", "c", "tab")

        assert "Nothing has any worth at the end of the years." in words(pilot)
        assert "ageing and ways that close are left out" in words(pilot)
        await press(pilot, "down", "up", "tab")

        assert "Nothing has any worth" not in words(pilot)
        assert "In today's money, over 15 years:" in words(pilot)


async def test_what_the_budget_does_not_reach_says_so() -> None:
    async with opened(with_upgrades, size=LARGE) as pilot:
        await press(pilot, "b")
        await put(pilot, "5000")
        await press(pilot, "c", "home")
        while "soft start:" not in words(pilot):
            await press(pilot, "down")

        assert "start [b]softly[/b], over the budget" in words(pilot)


async def test_without_a_number_upgrades_may_cost_anything() -> None:
    async with opened(with_upgrades) as pilot:
        await press(pilot, "b")
        await put(pilot, "")
        await press(pilot, "c")

        assert "Over 15 years at 8 %, what costs least is" in words(pilot)
        assert " spares" not in screen_text(pilot.app)


async def test_with_nonsense_in_the_line_the_plan_stays_and_says_what_is_wrong() -> None:
    async with opened(with_upgrades) as pilot:
        await press(pilot, "b")
        await put(pilot, "12,5")
        await press(pilot, "c")

        assert isinstance(pilot.app.screen, PlanScreen)
        assert "which is it?" in words(pilot)


async def test_a_site_without_upgrades_says_so() -> None:
    async with opened() as pilot:
        await press(pilot, "b", "c")

        assert "No upgrade is recorded." in words(pilot)


async def test_while_choices_are_weighed_the_keys_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    go_on, compare = Event(), Site.compare

    def slow(site: Site, budget: float | None) -> ComparisonAnswer:
        go_on.wait(20)
        return compare(site, budget)

    monkeypatch.setattr(Site, "compare", slow)
    monkeypatch.setattr(CompareScreen, "SLOW_S", 60.0)
    async with opened(with_upgrades) as pilot:
        await press(pilot, "b")
        await pilot.press("c")
        await pilot.pause()

        assert "Weighing every choice" in words(pilot)
        assert isinstance(pilot.app.screen, CompareScreen)
        await pilot.press("escape")
        await pilot.pause()

        assert isinstance(pilot.app.screen, PlanScreen)
        go_on.set()
        await settle(pilot)

        assert isinstance(pilot.app.screen, PlanScreen)


async def test_the_same_money_is_weighed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    from parts.services import comparisons

    asked, compare = [], comparisons.compare

    def counted(*words: object, **more: object) -> ComparisonAnswer:
        asked.append(words)
        return compare(*words, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(comparisons, "compare", counted)
    async with opened(with_upgrades) as pilot:
        await press(pilot, "b", "c", "escape", "c", "escape", "plus", "c")

        assert len(asked) == 2
