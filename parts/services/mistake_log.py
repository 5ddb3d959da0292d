"""The file in which mistakes of the program itself are written down, for whoever mends it.

Knows what an entry holds: when, which number, which lines of the program. Refuses to hold what was
worked on (no values of variables) and every password. The file and the one before it stay below a
megabyte together; where neither can be written, nothing is, and that is no further mistake.
"""

from __future__ import annotations

import re
import sys
import time
import traceback
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from parts.services import state

NAME = "mistakes.log"
LARGEST_FILE, LONGEST_ENTRY = 450_000, 20_000
LEFT_OUT = "[left out]"
_LOGIN = re.compile(r"(postgres[\w+]*:/*|://).*@")  # whatever stands in a password, quotes too
_PASSWORD = re.compile(r"(?i)(passw(?:or)?d['\"]?\s*[=:]\s*)('[^']*'|\"[^\"]*\"|\S+)")


@dataclass(frozen=True)
class Noted:
    """A mistake as it is told: its number is the same wherever the same mistake is made again."""

    number: str
    kind: str
    place: str
    file: Path | None


def note(error: BaseException) -> Noted:
    """Write a mistake down and return what to say of it."""
    frames = traceback.extract_tb(error.__traceback__)
    at = [f"{Path(frame.filename).name}, line {frame.lineno}" for frame in frames]
    kind = type(error).__name__
    seed = f"{kind} {at[-3:]}"
    number = f"{int(sha256(seed.encode()).hexdigest(), 16) % 1_000_000:06}"
    return Noted(number, kind, at[-1] if at else "", _write(_entry(number, error)))


def without_secrets(text: str) -> str:
    """Return a text with logins and passwords taken out."""
    return _PASSWORD.sub(rf"\1{LEFT_OUT}", _LOGIN.sub(rf"\1{LEFT_OUT}@", text))


def _entry(number: str, error: BaseException) -> str:
    when = time.strftime("%Y-%m-%d %H:%M:%S UTC", time.gmtime())
    python = ".".join(map(str, sys.version_info[:3]))
    told = without_secrets("".join(traceback.format_exception(error)))
    if len(told) > LONGEST_ENTRY:
        half = LONGEST_ENTRY // 2
        told = f"{told[:half]}\n... cut here ...\n{told[-half:]}"
    return f"== {when}  mistake {number}  Python {python} on {sys.platform}\n{told}\n"


def _write(entry: str) -> Path | None:
    folder = state.folder()
    if folder is None:
        return None
    path = folder / NAME
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if path.exists() and path.stat().st_size + len(entry) > LARGEST_FILE:
            path.replace(path.with_suffix(".old.log"))
        path.touch(mode=0o600)
        with path.open("a", encoding="utf-8", errors="backslashreplace") as file:
            file.write(entry)
    except OSError:
        return None
    return path
