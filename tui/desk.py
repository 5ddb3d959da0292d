"""The desk at which a person works: which database, who sits there, and which day it is.

The one thing that screens hold of the world outside; a page reaches it as `self.desk`. It is a
thin face over the services: each method is one call. Refuses to know SQL, and keeps no answers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from parts.services import state
from tui.doing import step

if TYPE_CHECKING:
    from parts.records.snapshot import Snapshot
    from parts.services.today import LastCounted


@dataclass
class Desk:
    """One person at one database; `who` is empty until somebody has said so."""

    database: str
    today: date
    who: str = ""

    def read(self) -> Snapshot:
        """Return the site as it is known today; raises a LongpoleError where that cannot be."""
        from parts.services.sites import read_snapshot

        return read_snapshot(self.database, self.today, step)

    def last_counted(self) -> LastCounted:
        """Return when each part in each store was last counted."""
        from parts.services.today import last_counted

        return last_counted(self.database)

    def recall(self, name: str) -> Any:
        """Return what is remembered on this machine about this database, None for nothing."""
        return state.recall(name, self.database)

    def remember(self, name: str, value: object) -> None:
        """Remember something about this database on this machine; None forgets it."""
        state.remember(name, value, self.database)

    def draft(self, form: str) -> dict[str, Any]:
        """Return what was typed into a form and not saved, nothing where there is none."""
        return state.drafts(self.database).get(form, {})

    def keep_draft(self, form: str, values: dict[str, str]) -> None:
        """Keep what is typed into a form."""
        state.keep_draft(form, values, self.database)

    def drop_draft(self, form: str) -> None:
        """Forget what was typed into a form."""
        state.drop_draft(form, self.database)

    def has_read(self, sentences: Sequence[str]) -> bool:
        """Return whether this person has read these very sentences."""
        return bool(state.recall(self._reader) == list(sentences))

    def note_read(self, sentences: Sequence[str]) -> None:
        """Remember that this person has read these sentences."""
        state.remember(self._reader, list(sentences))

    @property
    def _reader(self) -> str:
        return f"cautions read {self.who}".rstrip()
