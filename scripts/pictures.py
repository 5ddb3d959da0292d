"""The pictures of the screens in data/pictures, drawn from the invented demo site.

    python scripts/pictures.py

The fonts that the framework would fetch from a host are left out: a picture fetches nothing.
"""

from __future__ import annotations

import asyncio
import os
import re
import sys
import tempfile
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
WALK = {
    "fleet": [],
    "crane": ["down", "enter"],
    "position": ["enter"],
    "positions": ["slash", *"brake"],
    "risks": ["escape", "escape", "escape", "escape", "k", "down", "down"],
    "explanation": ["enter", "x", *["down"] * 3],
    "watch": ["escape", "escape", "escape", "l"],
    "findings": ["escape", "n"],
    "duty": ["escape", "d"],
    "year": ["escape", "enter", "e"],
    "pairs": ["tab"],
    "plan": ["escape", "escape", "b"],
    "deadlines": ["escape", "g"],
    "purchasing": ["escape", "o"],
    "needs": ["escape", "enter", "h", "home", *["down"] * 22],
    "heat": ["escape", "escape", "z"],
    "years": ["tab"],
    "lead_times": ["tab"],
    "ages": ["tab"],
    "today": ["escape", "j"],
    "find": ["escape", "slash", *"brake coil"],
    "part": ["escape", "escape", "slash", *"LIN-315", "enter"],
    "what_if": ["i"],
    "move_stock": ["escape", "m"],
    "step": ["enter"],
    "booked": ["f2"],
    "undo": ["u"],
    "records": [*["escape"] * 3, "v"],
    "rows": ["enter"],
    "record": ["enter"],
    "compare": [*["escape"] * 5, "b", "c"],
    "last_buy": [*["escape"] * 3, "g", "enter"],
    "first_steps": [*["escape"] * 3, "s"],
    "help": ["escape", "question_mark"],
}


async def draw(desk: Desk) -> None:
    """Walk through the screens and save each one."""
    app = LongpoleApp(desk)
    async with app.run_test(size=SIZE) as pilot:
        await settle(pilot)
        for name, keys in WALK.items():
            for key in keys:
                await pilot.press(key)
                await settle(pilot)
            drawn = FETCHED.sub("", app.export_screenshot())
            (PICTURES / f"{name}.svg").write_text(drawn, "utf-8")


async def settle(pilot: Pilot[None]) -> None:
    """Wait until nothing is asked or shown any more, the pause of the filter included."""
    for _ in range(3):
        await pilot.pause(0.2)
        while any(not worker.is_finished for worker in pilot.app.workers):
            with suppress(WorkerCancelled):  # an answer may lead to a question
                await pilot.app.workers.wait_for_complete()


def main() -> None:
    """Draw all pictures anew."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        database = str(Path(folder, "demo.db"))
        os.environ["LONGPOLE_STATE"] = folder
        load_demo(database)
        desk = Desk(database, TODAY)
        desk.note_read(CAUTIONS)
        asyncio.run(draw(desk))


if __name__ == "__main__":
    main()
