"""What takes long says what it does and can be stopped; a late or stopped answer is not shown."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from threading import Event
from typing import Any

import pytest

from parts.records.snapshot import Snapshot
from tests.tui.screen_text import screen_lines, screen_text
from tests.tui.small_site import TODAY, DeskWith, opened, press, settle, small_site, until, words
from tui.doing import Doing, Stopped, step
from tui.screens.page import Page
from tui.screens.risks import RisksScreen
from tui.site import Site

LONGEST_S = 10.0


@dataclass
class Gate:
    """Work that goes on when it is let, and tells whether it was stopped at its next step."""

    may_go_on: Event = field(default_factory=Event)
    has_begun: Event = field(default_factory=Event)
    was_stopped: Event = field(default_factory=Event)

    def pass_through(self, what: str = "Halfway") -> None:
        self.has_begun.set()
        step(what)
        self.may_go_on.wait(LONGEST_S)
        try:
            step("The second half")
        except Stopped:
            self.was_stopped.set()
            raise


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    monkeypatch.setattr(Page, "SLOW_S", 0.05)  # above what `settle` waits for
    made = Gate()
    yield made
    made.may_go_on.set()


async def test_reading_again_tells_what_it_does_and_is_stopped_by_escape(gate: Gate) -> None:
    snapshots = [small_site()]

    def read() -> Snapshot:
        if snapshots:
            return snapshots.pop()
        gate.pass_through("Reading parts")
        return small_site()

    async with opened(read) as pilot:
        await pilot.press("down", "r")
        await until(lambda: "Reading parts ... " in words(pilot))

        assert "s. Esc stops it." in words(pilot)
        await pilot.press("escape")
        await pilot.pause()

        assert "Stopped before it was done; nothing was changed" in words(pilot)
        gate.may_go_on.set()
        await settle(pilot)

        assert gate.was_stopped.wait(LONGEST_S)
        assert "HM-2, yard crane" in screen_text(pilot.app)
        assert "Stopped before it was done" in words(pilot)


async def test_a_first_reading_that_was_stopped_can_be_begun_again(gate: Gate) -> None:
    def read() -> Snapshot:
        gate.pass_through()
        return small_site()

    async with LongpoleAppOf(read) as pilot:
        await until(lambda: "Esc stops it" in words(pilot))
        await pilot.press("escape")
        gate.may_go_on.set()
        await settle(pilot)

        assert "press r to read again" in words(pilot)
        await press(pilot, "r")

        assert "2 cranes" in screen_text(pilot.app)


def LongpoleAppOf(read: Callable[[], Snapshot]) -> Any:  # noqa: N802 - stands for the class
    from tui.app import LongpoleApp
    from tui.sentences import CAUTIONS

    desk = DeskWith(read)
    desk.note_read(CAUTIONS)
    return LongpoleApp(desk).run_test(size=(80, 24))


async def test_escape_stops_first_and_goes_back_then(
    gate: Gate, monkeypatch: pytest.MonkeyPatch
) -> None:
    def slow(*_: object) -> None:
        gate.pass_through("Ranking")

    monkeypatch.setattr(Site, "risks", slow)
    async with opened() as pilot:
        await pilot.press("k")
        await until(lambda: "Ranking ... " in words(pilot))
        await pilot.press("escape")
        gate.may_go_on.set()
        await settle(pilot)

        assert isinstance(pilot.app.screen, RisksScreen)
        assert "Stopped before it was done" in words(pilot)
        assert gate.was_stopped.wait(LONGEST_S)
        await press(pilot, "escape")

        assert "2 cranes" in screen_text(pilot.app)


async def test_leaving_and_quitting_stop_what_was_asked(
    gate: Gate, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Page, "SLOW_S", 10.0)
    monkeypatch.setattr(Site, "risks", lambda *_: gate.pass_through())
    async with opened() as pilot:
        await pilot.press("k")
        await until(gate.has_begun.is_set)
        await pilot.app.action_quit()
        gate.may_go_on.set()

    assert gate.was_stopped.wait(LONGEST_S)


async def test_what_is_quick_says_nothing_and_escape_goes_back() -> None:
    async with opened() as pilot:
        await press(pilot, "k", "escape")

        assert "fleet" in screen_lines(pilot.app)[0]


async def test_a_new_question_stops_the_one_before(
    gate: Gate, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[float] = []

    def duty(_: Site, hours_factor: float = 1.0, km: float | None = None) -> tuple[()]:
        asked.append(hours_factor)
        if len(asked) == 1:
            gate.pass_through()
        return ()

    monkeypatch.setattr(Site, "duty", duty)
    async with opened() as pilot:
        await pilot.press("d")
        await until(gate.has_begun.is_set)
        await pilot.press("s")
        gate.may_go_on.set()
        await settle(pilot)

        assert gate.was_stopped.wait(LONGEST_S)
        assert "No mechanism's duty is recorded" in words(pilot)


def test_outside_a_worker_a_step_is_nothing() -> None:
    step("Reading", 1, 2)
    doing = Doing("Reading")
    doing.stop()

    with pytest.raises(Stopped):
        doing.run(lambda: TODAY)
    assert doing.is_over


def test_a_step_tells_how_far_it_is() -> None:
    doing = Doing("Reading")
    told: list[str] = []

    def work() -> None:
        step("Storing parts", 1200)
        told.append(doing.told)
        step("Weighing", 3, 40)
        told.append(doing.told)
        step()
        told.append(doing.told)

    doing.run(work)

    assert told[0].startswith("Storing parts, 1,200 ... ")
    assert told[1].startswith("Weighing, 3 of 40 ... ")
    assert told[2] == told[1]
