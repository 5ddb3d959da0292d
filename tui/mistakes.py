"""What is said when the program itself is at fault: one sentence, with what a mender must know."""

from __future__ import annotations

from pathlib import Path
from traceback import extract_tb

from parts.records.shown import shown


def mistake_sentence(error: BaseException | None) -> str:
    """Return what to say of a mistake in the program: what kind, and in which line."""
    frames = [] if error is None else extract_tb(error.__traceback__)
    at = f" at {Path(frames[-1].filename).name}, line {frames[-1].lineno}" if frames else ""
    return shown(
        f"longpole ended over a mistake in the program ({type(error).__name__}{at}). The screens "
        "write nothing, so nothing is lost. Start it again; if it comes back, report this sentence."
    )
