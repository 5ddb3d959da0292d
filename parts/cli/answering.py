"""What every command does with a question and its answer: one snapshot in, text or JSON out."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from parts.errors import AnswerUnprinted
from parts.records.shown import shown
from parts.records.snapshot import Snapshot


def snapshot_of(options: argparse.Namespace) -> Snapshot:
    """The site as it is known on the day that is asked about."""
    from parts.services.sites import read_snapshot

    return read_snapshot(options.db, options.today)


def tell(options: argparse.Namespace, document: dict[str, Any], lines: Iterable[str]) -> None:
    """Print the answer as it was asked for."""
    with printing():
        if options.json:
            print(json.dumps(document, indent=1, allow_nan=False))
        else:
            for line in lines:
                print(shown(line))


@contextmanager
def printing() -> Iterator[None]:
    """Standard output may be a file on a full disk; who reads no further is no such trouble."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as trouble:
        raise AnswerUnprinted(trouble.strerror or str(trouble)) from None
