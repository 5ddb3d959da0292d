"""What this person's program remembers on this machine: small JSON files in a folder of theirs.

Knows where that folder is and how a file is written whole or not at all. Refuses to know what is
remembered, and to hold anything that a site would miss: a damaged, lost or unwritable file is
never an error, only nothing remembered. What belongs to one database is kept under its name.
"""

from __future__ import annotations

import json
import os
import re
import tempfile
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

FOLDER_VARIABLE = "LONGPOLE_STATE"
ENDING = ".json"
LARGEST_FILE = 1_000_000
"""Bytes; nothing of ours comes near, so a larger file is not ours."""
_NOT_IN_A_NAME = re.compile(r"[^a-z0-9]+")
_LOGIN = re.compile(r"(?<=://).*@")


def folder() -> Path | None:
    """Where things are remembered, whether it exists or not; None where there is no such place."""
    if named := os.environ.get(FOLDER_VARIABLE):
        return Path(named)
    if os.name == "nt":
        local = os.environ.get("LOCALAPPDATA")
        return Path(local, "longpole") if local else None
    base = os.environ.get("XDG_STATE_HOME", "")
    if os.path.isabs(base):  # a relative one has to be ignored
        return Path(base, "longpole")
    try:
        return Path.home() / ".local" / "state" / "longpole"
    except RuntimeError:
        return None


def remember(name: str, value: object, database: str = "") -> bool:
    """Keep a value that JSON can hold, None to forget it; return whether it could be kept."""
    text = json.dumps({"name": name, "value": value})
    try:
        home, path = folder(), _file(name, database)
        if home is None or path is None:
            return False
        if value is None:
            path.unlink(missing_ok=True)
            return True
        for each in (home, path.parent):
            each.mkdir(mode=0o700, parents=True, exist_ok=True)
        _write(path, text)
    except OSError:
        return False
    return True


def recall(name: str, database: str = "") -> Any:
    """Return what was kept, None where there is nothing; who asks checks what it is."""
    path = _file(name, database)
    return None if path is None else _read(path).get("value")


def keep_draft(form: str, values: dict[str, Any], database: str = "") -> bool:
    """Keep what is typed into a form and not saved yet."""
    return remember(f"draft {form}", values, database)


def drop_draft(form: str, database: str = "") -> None:
    """Forget a draft that was saved or thrown away."""
    remember(f"draft {form}", None, database)


def drafts(database: str = "") -> dict[str, dict[str, Any]]:
    """Return the drafts there are, by form, in the order of their names."""
    home = _home(database)
    found: dict[str, dict[str, Any]] = {}
    with suppress(OSError):
        for path in sorted(home.glob(f"draft-*{ENDING}")) if home else ():
            kept = _read(path)
            name, value = kept.get("name"), kept.get("value")
            if isinstance(name, str) and name.startswith("draft ") and isinstance(value, dict):
                found[name.removeprefix("draft ")] = value
    return dict(sorted(found.items()))


def _home(database: str) -> Path | None:
    """Return the folder of a database, or the common one for none."""
    home = folder()
    if home is None or not database:
        return home
    where = _LOGIN.sub("", database) if "://" in database else os.path.realpath(database)
    return home / sha256(where.encode("utf-8", "surrogateescape")).hexdigest()[:16]


def _file(name: str, database: str) -> Path | None:
    """Return the file of a name: its letters, to be told apart, and a digest, to be sure."""
    home = _home(database)
    if home is None:
        return None
    digest = sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:12]
    plain = _NOT_IN_A_NAME.sub("-", name.casefold())[:40]
    return home / f"{plain}-{digest}{ENDING}"


def _read(path: Path) -> dict[str, Any]:
    try:
        with path.open("rb") as file:
            found = json.loads(file.read(LARGEST_FILE))
    except (OSError, ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _write(path: Path, text: str) -> None:
    handle, unfinished = tempfile.mkstemp(".new", ".state-", path.parent)  # its owner's alone
    try:
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.replace(unfinished, path)
    except OSError:
        with suppress(OSError):
            os.unlink(unfinished)
        raise
