"""The commands: parse, call one service, print.

Exit status: 0 done; 1 findings, or nothing to answer; 2 wrong use or bad input, with one line on
standard error and nothing written; 130 interrupted.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from parts.cli.arguments import parse
from parts.cli.command_line import hide_addresses
from parts.errors import LongpoleError
from parts.records.shown import shown

WRONG_USE = 2
INTERRUPTED = 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")  # a terminal that lacks a letter shows a mark for it
    if arguments is None:
        hide_addresses()
    try:
        options = parse(sys.argv[1:] if arguments is None else arguments)
        status: int = options.command(options)
        sys.stdout.flush()
    except LongpoleError as refused:
        print(f"longpole: {shown(str(refused))}", file=sys.stderr)
        return WRONG_USE
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # the reader has seen enough; keep Python from complaining when it closes the stream
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return status
