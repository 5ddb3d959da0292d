"""What others on this machine can read of the command line: on Linux, no address of a server.

The kernel shows, to everybody who runs `ps`, the bytes that a process was started with, and that
process may write over them. An address may hold a password, whatever is wrong with it, so all of it
goes. Refuses to promise more: before this ran, and in a shell's history, it was to be read.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

_ADDRESS = re.compile(rb"postgres[\w+]*:/*([^\0]+)")
_FACTS = Path("/proc/self/stat")
_BEGINS, _ENDS = 45, 46  # of the fields behind the name of the program: proc(5), arg_start, arg_end


def hide_addresses() -> None:
    """Write over the addresses that this process was started with."""
    if not any("postgres" in word for word in sys.argv) or not _FACTS.exists():
        return
    import ctypes

    facts = _FACTS.read_text("utf-8", "replace").rpartition(")")[2].split()
    begins, ends = int(facts[_BEGINS]), int(facts[_ENDS])
    for found in _ADDRESS.finditer(ctypes.string_at(begins, ends - begins)):
        ctypes.memset(begins + found.start(1), ord("*"), len(found[1]))
