"""How a crane stands after a failure, and how grave a finding is.

Apart from the answers, which take longer to load than the first screen may wait.
"""

from __future__ import annotations

from enum import Enum


class State(Enum):
    """What a crane does after a failure."""

    DOWN = "down"
    REDUCED = "reduced"
    IN_SERVICE = "in_service"


class Severity(Enum):
    DANGER = "danger"
    WARNING = "warning"
    NOTE = "note"
