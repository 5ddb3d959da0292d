"""Reads a workbook by way of a child process, and turns its sheets into the files of a book.

Invariant: whatever becomes of the child (killed, out of memory, out of time), the outcome here is
one sentence.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import parts
from parts.errors import UnusableBook
from parts.exchange.places import Progress, ReadBook
from parts.exchange.table import TableReader
from parts.exchange.workbook_gate import MB, gated
from parts.records.book import FILES_BY_NAME
from parts.records.shown import shown

MEMORY_BYTES = 1_500_000_000
CPU_SECONDS = 60  # and one more for each MB that the workbook unpacks to

_NOT_SAFELY = "it could not be read safely; save it again, or as a folder of CSV files"


def read_workbook(source: Path, progress: Progress | None = None) -> ReadBook:
    """Read a workbook whose sheets are the files of a site book."""
    return book_of(source, child_messages(*gated(source)), progress)


def book_of(
    source: Path, messages: Iterable[list[Any]], progress: Progress | None = None
) -> ReadBook:
    """The book in a stream of messages of `workbook_child`."""
    read = ReadBook()
    stream = _Sheets(iter(messages))
    present: set[str] = set()
    while (name := stream.next_sheet()) is not None:
        book_file = FILES_BY_NAME.get(name)
        if book_file is None or name in present:
            read.note_unknown(name, "sheet")
            continue
        present.add(name)
        where = f"{shown(source.name)} sheet {name}"
        TableReader(book_file, where, read, progress=progress).read(stream.rows())
    if not stream.done:
        raise UnusableBook(shown(str(source)), shown(stream.failed) or _NOT_SAFELY)
    read.note_missing(present, f"{shown(source.name)} sheet {{}}")
    return read


class _Sheets:
    """A stream of messages, sheet by sheet; `failed` says what ended it before its end."""

    def __init__(self, messages: Iterator[list[Any]]) -> None:
        self._messages = messages
        self._next: list[Any] | None = None
        self.done = False
        self.failed = ""

    def _advance(self) -> list[Any] | None:
        message, self._next = self._next or next(self._messages, None), None
        if message is not None and message[0] == "failed":
            self.failed = str(message[1])
            return None
        if message == ["done"]:
            self.done = True
            return None
        return message

    def next_sheet(self) -> str | None:
        while (message := self._advance()) is not None:
            if message[0] == "sheet":
                return str(message[1])
        return None

    def rows(self) -> Iterator[tuple[int, list[Any]]]:
        """The rows of this sheet, each as wide as the header or wider."""
        width = 0
        while (message := self._advance()) is not None:
            if message[0] == "sheet":
                self._next = message
                return
            _, number, cells = message
            width = width or len(cells)
            yield number, cells + [None] * (width - len(cells))


def child_messages(content: bytes, unpacked_bytes: int) -> Iterator[list[Any]]:
    """Run the child on a workbook; a child that dies ends the stream without its last message."""
    cpu_seconds = CPU_SECONDS + unpacked_bytes // MB
    # -P: the folder that the program was started in gives the child no modules
    command = [sys.executable, "-P", "-m", "parts.exchange.workbook_child"]
    child = subprocess.Popen(  # noqa: S603 - our own module, no outside text in the command
        [*command, str(MEMORY_BYTES), str(cpu_seconds)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": str(Path(parts.__file__).parent.parent)},
    )
    clock = threading.Timer(2 * cpu_seconds, child.kill)
    clock.start()
    try:
        yield from _conversation(child, content)
    finally:
        clock.cancel()
        clock.join()
        child.kill()
        child.wait()
        if child.stdout:
            child.stdout.close()


def _conversation(child: subprocess.Popen[bytes], content: bytes) -> Iterator[list[Any]]:
    assert child.stdin is not None  # noqa: S101 - both are pipes
    assert child.stdout is not None  # noqa: S101
    try:
        child.stdin.write(content)
        child.stdin.close()
    except OSError:
        return
    for line in child.stdout:
        try:
            yield json.loads(line)
        except ValueError:  # cut off in the middle of a line
            return
