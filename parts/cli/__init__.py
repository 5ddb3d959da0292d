"""The commands: parse, call one service, print.

Exit status: 0 done; 1 findings, or nothing to answer; 2 wrong use or bad input, with one line on
standard error and nothing written; 130 interrupted.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import TextIO

from parts.cli.command_line import hide_addresses
from parts.errors import AnswerUnprinted, LongpoleError
from parts.records.shown import shown

WRONG_USE = 2
INTERRUPTED = 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    # where a stream is closed Python has none, and prints on the other what was meant for it
    sys.stdout = sys.stdout or _nowhere()
    sys.stderr = sys.stderr or _nowhere()
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")  # a terminal that lacks a letter shows a mark for it
    if arguments is None:
        hide_addresses()
    try:
        # most of the time before an answer goes here; Ctrl-C in it is no mistake of the program
        from parts.cli.answering import printing
        from parts.cli.arguments import parse

        options = parse(sys.argv[1:] if arguments is None else arguments)
        status: int = options.command(options)
        with printing():
            sys.stdout.flush()
    except LongpoleError as refused:
        if isinstance(refused, AnswerUnprinted):
            _close_quietly()
        print(f"longpole: {shown(str(refused))}", file=sys.stderr)
        return WRONG_USE
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:  # the reader has seen enough
        _close_quietly()
        return 0
    return status


def _nowhere() -> TextIO:
    return open(os.devnull, "w", encoding="utf-8")


def _close_quietly() -> None:
    """Keep Python from complaining once more when it closes standard output at its end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
