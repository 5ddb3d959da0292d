"""Commands given as a person would, and nothing taken from somebody's own machine."""

from __future__ import annotations

from tests.cli.conftest import say
from tests.tui.conftest import _same_everywhere

__all__ = ["_same_everywhere", "say"]
