"""Whoever works at this machine: the name, the machine and the clock that stamp what is entered.

On a file the name is what the machine's login says, and whoever may open the file may claim
another; a database server writes down the name that it knows the person by.
"""

from __future__ import annotations

import datetime
import getpass
import platform
import uuid
from collections.abc import Callable
from dataclasses import dataclass

from parts.records.ledger import Stamp


def _utc_now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)


@dataclass(frozen=True, slots=True)
class Hand:
    """A person at a machine; `now` gives the time in UTC."""

    who: str
    place: str
    now: Callable[[], datetime.datetime] = _utc_now

    def stamp(self) -> Stamp:
        at = self.now().astimezone(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        return Stamp(at, self.who, self.place)


def hand_here() -> Hand:
    """Whoever is logged in here."""
    try:
        who = getpass.getuser()
    except (KeyError, OSError):  # a login without a name
        who = "unknown"
    return Hand(who, platform.node() or "unknown")


def new_key() -> str:
    """A key for one step that nobody has used: asking twice with it is asking once."""
    return uuid.uuid4().hex
