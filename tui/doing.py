"""Something that is being done in a worker: what, for how long, and whether somebody stopped it.

A thread cannot be ended from outside, so whatever takes long calls `step` between its steps: there
it learns that nobody waits any more, and there it may tell how far it is. Outside a worker `step`
does nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from contextvars import ContextVar
from time import monotonic
from typing import TypeVar

Answer = TypeVar("Answer")


class Stopped(Exception):
    """Nobody waits for the answer any more."""


class Doing:
    """One question under way."""

    def __init__(self, what: str) -> None:
        self.is_stopped = self.is_over = False
        self._what = what
        self._since = monotonic()

    def run(self, question: Callable[[], Answer]) -> Answer:
        """Answer a question in this thread; raises Stopped when the answer is not wanted."""
        _now.set(self)
        try:
            answer = question()
        finally:
            self.is_over = True
        self.go_on()
        return answer

    def stop(self) -> None:
        """End it at its next step."""
        self.is_stopped = True

    def go_on(self, what: str = "") -> None:
        """Raise Stopped if it is to end; else tell what comes next, if that has a name."""
        if self.is_stopped:
            raise Stopped
        self._what = what or self._what

    @property
    def told(self) -> str:
        """What is being done, for how many seconds, and how to stop it."""
        return f"{self._what} ... {monotonic() - self._since:.0f} s. Esc stops it."


_now: ContextVar[Doing] = ContextVar("doing")


def step(what: str = "", done: int | None = None, of: int | None = None) -> None:
    """Mark a step of what this worker does; a service may be given this as its `progress`."""
    doing = _now.get(None)
    if doing is not None:
        count = "" if done is None else f", {done:,}" if of is None else f", {done:,} of {of:,}"
        doing.go_on(f"{what}{count}" if what else "")
