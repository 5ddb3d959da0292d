"""A folder for what is written only to be broken: in memory where the machine offers that."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_MEMORY = Path("/dev/shm")  # noqa: S108 - a folder of our own is made in it


@contextmanager
def scratch() -> Iterator[Path]:
    """An empty folder that vanishes afterwards."""
    with tempfile.TemporaryDirectory(dir=_MEMORY if _MEMORY.is_dir() else None) as name:
        yield Path(name)
