"""The desk at which a person works: which database, who sits there, and which day it is.

The one thing that screens hold of the world outside; a page reaches it as `self.desk`. It is a
thin face over the services: each method is one call. Refuses to know SQL, and keeps no answers.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from parts.records.snapshot import Snapshot


@dataclass
class Desk:
    """One person at one database; `who` is empty until somebody has said so."""

    database: str
    today: date
    who: str = ""

    def read(self) -> Snapshot:
        """Return the site as it is known today; raises a LongpoleError where that cannot be."""
        from parts.services.sites import read_snapshot

        return read_snapshot(self.database, self.today)
