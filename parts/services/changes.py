"""Whether somebody changed a site since it was last read."""

from __future__ import annotations

from threading import Lock
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from parts.store.watching import Watcher


class Watch:
    """One database under watch, for as long as somebody shows it; may be asked from any thread."""

    def __init__(self, database: str) -> None:
        self._database = database
        self._watcher: Watcher | None = None
        self._seen: object = None
        self._is_marked = False
        self._turn = Lock()

    def mark(self) -> None:
        """Take what is there now as seen: to be called before it is read."""
        with self._turn:
            self._seen, self._is_marked = self._look(), True

    def changed(self) -> bool | None:
        """Return whether anybody wrote since `mark`; None = what was there is out of reach."""
        with self._turn:
            found = self._look()
            if found is None and self._seen is not None:
                return None
            return self._is_marked and found != self._seen

    def close(self) -> None:
        with self._turn:
            if self._watcher is not None:
                self._watcher.close()
                self._watcher = None

    def _look(self) -> object:
        from parts.errors import LongpoleError
        from parts.store.watching import Unwatchable, watcher_of

        try:
            if self._watcher is None:
                self._watcher = watcher_of(self._database)
            return self._watcher.look()
        except (LongpoleError, *Unwatchable):
            return None
