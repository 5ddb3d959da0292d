"""A file that is there whole, the old one or the new: written beside its place, then renamed."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

OUR_TEMPORARY = ".longpole-saving-"


def temporary_of(target: Path) -> Path:
    return target.with_name(f"{OUR_TEMPORARY}{os.getpid()}-{target.name}")


def write_whole(path: Path, content: bytes) -> None:
    """Write a file that is not there yet, down to the disk."""
    with path.open("xb") as opened:
        opened.write(content)
        opened.flush()
        os.fsync(opened.fileno())


def settle(folder: Path) -> None:
    """Make the renames last through a power cut, where the system lets a folder be synced."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def write_new(target: Path, content: bytes) -> None:
    """Write a file whole under a name that is free; FileExistsError where it is taken."""
    temporary = temporary_of(target)
    try:
        write_whole(temporary, content)
        if os.name == "nt":
            temporary.rename(target)  # there it never replaces
        else:
            os.link(temporary, target)
    finally:
        temporary.unlink(missing_ok=True)
    settle(target.parent)
