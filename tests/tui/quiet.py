"""Waiting until the program has nothing to do, instead of a fixed sleep.

The framework's own way sleeps a fiftieth of a second at a time until the process used little of the
processor meanwhile. The event loop knows it exactly: nothing is ready, and nothing is due within
the time that such a sleep would have taken. However slow the machine, what is ready is waited for.
"""

from __future__ import annotations

import asyncio
from typing import Any

SOON_S = 0.02
FRAME_S = 0.001
MOST_TIMERS = 50
"""Some timers begin anew for ever; so many are waited for."""


async def quiet(*_: float) -> None:
    """Return once all that is due soon is done."""
    loop: Any = asyncio.get_running_loop()
    for _timer in range(MOST_TIMERS):
        await asyncio.sleep(0)
        while loop._ready:
            await asyncio.sleep(0)
        due = [each.when() for each in loop._scheduled if not each.cancelled()]
        wait = min(due, default=float("inf")) - loop.time()
        if wait > SOON_S:
            return
        await asyncio.sleep(max(wait, 0))
