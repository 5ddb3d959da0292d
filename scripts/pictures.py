"""The pictures of the screens in data/pictures, drawn from the invented demo site.

    python scripts/pictures.py [NAME ...]

All of them, or those that are named. The fonts that the framework would fetch from a host are left
out: a picture fetches nothing.
"""

from __future__ import annotations

import asyncio
import os
import re
import sys
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from textual.pilot import Pilot
from textual.worker import WorkerCancelled

from parts.services.books import load_demo
from tui.app import LongpoleApp
from tui.desk import Desk
from tui.sentences import CAUTIONS

PICTURES = Path(__file__).resolve().parent.parent / "data" / "pictures"
TODAY = date(2026, 11, 25)
FETCHED = re.compile(r"@font-face \{.*?\}|<!--.*?-->", re.DOTALL)
SIZE = (100, 30)
OPEN_LIN = ("slash", *"LIN-315", "enter")
WALK: dict[str, tuple[str, tuple[str, ...]]] = {
    "fleet": ("fleet", ()),
    "crane": ("A1", ("enter",)),
    "position": ("hoist low-speed gear", ("enter", "enter")),
    "needs": ("hangs on", ("enter", "h", "home", *("down",) * 22)),
    "together": ("fail together", ("enter", "space", "down", "space", "f")),
    "year": ("a year", ("enter", "e")),
    "pairs": ("a year", ("enter", "e", "tab")),
    "positions": ("all positions", ("slash", *"brake", "tab")),
    "find": ("find", ("slash", *"brake coil")),
    "bin": ("main store › A03", ("slash", *"A03", "enter")),
    "part": ("part › LIN-315", OPEN_LIN),
    "what_if": ("what if", (*OPEN_LIN, "i")),
    "heat": ("Fleet heat", ("z",)),
    "years": ("Exposure by year", ("z", "tab")),
    "lead_times": ("Lead times, promised and real", ("z", "tab", "tab")),
    "ages": ("Ages against lives", ("z", "tab", "tab", "tab")),
    "today": ("storeroom", ("j",)),
    "risks": ("risks, ranked by what a year may take", ("k", "down", "down")),
    "explanation": ("explained", ("k", "down", "down", "enter", "x", *("down",) * 3)),
    "watch": ("watch list", ("l",)),
    "findings": ("findings", ("n",)),
    "duty": ("duty", ("d",)),
    "plan": ("plan", ("b",)),
    "compare": ("upgrades", ("b", "c")),
    "deadlines": ("last days", ("g",)),
    "last_buy": ("last order", ("g", "enter")),
    "purchasing": ("what to order", ("o",)),
    "late_orders": ("late orders", ("o", "tab")),
    "enquiries": ("what to ask", ("o", "tab", "tab")),
    "move_stock": ("move stock", (*OPEN_LIN, "m")),
    "step": ("issue", (*OPEN_LIN, "m", "enter")),
    "leave": ("issue", (*OPEN_LIN, "m", "enter", "2", "escape")),
    "booked": ("issued", (*OPEN_LIN, "m", "enter", "f2")),
    "undo": ("undo", ("m", "end", "enter")),
    "records": ("records", ("v", "tab")),
    "rows": ("cranes", ("v", "tab", "enter")),
    "record": ("crane A1", ("v", "tab", "enter", "enter")),
    "first_steps": ("first steps", ("s",)),
    "help": ("help", ("question_mark",)),
}
"""Each picture with what stands at its head, and the keys that lead there from the fleet."""


async def draw(desk: Desk, names: Sequence[str]) -> None:
    """Open each screen from the fleet, and save it."""
    app = LongpoleApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await settle(pilot)
        for name in names:
            head, keys = WALK[name]
            while len(app.screen_stack) > 1:
                await app.pop_screen()
            for key in ("home", *keys):
                await pilot.press(key)
                await settle(pilot)
            drawn = FETCHED.sub("", app.export_screenshot())
            if f"{head} ".replace(" ", "&#160;") not in drawn.split("line-2)")[0]:
                raise SystemExit(f"{name} is not the screen that it should be: no {head}")
            (PICTURES / f"{name}.svg").write_text(drawn, "utf-8")


async def settle(pilot: Pilot[None]) -> None:
    """Wait until nothing is asked or shown any more, the pause of the filter included."""
    for _ in range(3):
        await pilot.pause(0.2)
        while any(not worker.is_finished for worker in pilot.app.workers):
            with suppress(WorkerCancelled):  # an answer may lead to a question
                await pilot.app.workers.wait_for_complete()


def main() -> None:
    """Draw the pictures anew."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        database = str(Path(folder, "demo.db"))
        os.environ["LONGPOLE_STATE"] = folder
        load_demo(database)
        desk = Desk(database, TODAY)
        desk.note_read(CAUTIONS)
        asyncio.run(draw(desk, sys.argv[1:] or list(WALK)))


if __name__ == "__main__":
    main()
