"""The current screen as plain lines, for tests that read what a person would read.

The one place that touches a private attribute of the framework: its compositor.
"""

from __future__ import annotations

from typing import Any

from textual.app import App


def screen_lines(app: App[Any]) -> list[str]:
    """Return the lines on the screen, without the blanks at their ends."""
    strips = app.screen._compositor.render_strips()
    return [strip.text.rstrip() for strip in strips]


def screen_text(app: App[Any]) -> str:
    """Return the screen as one text."""
    return "\n".join(screen_lines(app))
