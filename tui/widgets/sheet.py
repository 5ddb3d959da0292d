"""A page of sections to read, scrolled with the arrows: titles, texts and drawings."""

from __future__ import annotations

from collections.abc import Sequence

from textual.containers import VerticalScroll
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from tui.widgets.texts import STRONG, said

Body = Sequence[Content] | Widget


class Sheet(VerticalScroll):
    """Sections under one another."""

    DEFAULT_CSS = """
    Sheet { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    Sheet > * { height: auto; margin: 0 0 1 0; }
    Sheet > .title { margin: 0; color: $text-primary; }
    Sheet:nocolor > .title { color: $foreground; }
    """

    async def fill(self, sections: Sequence[tuple[str, Body]]) -> None:
        """Show sections in place of what was shown; those that hold nothing are left out."""
        widgets: list[Widget] = []
        for title, body in sections:
            drawn = body if isinstance(body, Widget) else Static(Content("\n").join(body))
            if not isinstance(body, Widget) and not body:
                continue
            if title:
                widgets.append(Static(said((title, STRONG)), classes="title"))
            widgets.append(drawn)
        await self.remove_children()
        await self.mount_all(widgets)
