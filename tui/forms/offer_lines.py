"""What stands below a form for the line that has the keys: what it may mean, and how to take it."""

from __future__ import annotations

from textual.content import Content
from textual.style import Style

from tui.forms.form_line import NOTHING_YET, FormLine
from tui.widgets.texts import QUIET, STRONG, said

OFFERED_AT_MOST = 5
ENTER_ASKS = "Enter, then ↓ ↑ choose; a click takes any of them."
CHOOSE = "Which of them? ↓ ↑ choose, Enter takes it, Esc leaves the list."
TAKES = "→ takes the first, a click any of them."


def offer_lines(line: FormLine) -> list[Content]:
    """Return what is offered, around the marked one, and what takes it; or nothing."""
    meaning = line.meaning
    offered = meaning.offered
    if not offered:
        return []
    marked = NOTHING_YET if line.marked is None else line.marked
    first = max(0, marked - OFFERED_AT_MOST + 1)
    window = list(enumerate(offered))[first : first + OFFERED_AT_MOST]
    shown = [
        said("▸ " if at == marked else "  ", _clickable(each.value, at), f"  {each.told}".rstrip())
        for at, each in window
    ]
    more = len(offered) - first - len(window)
    below = [said((f"and {more} more", QUIET))] if more else []
    if how := _how_to_take(line, meaning.sure):
        below.append(said((how, STRONG if line.is_choosing else QUIET)))
    return [*shown, *below]


def _how_to_take(line: FormLine, sure: str) -> str:
    if line.is_choosing:
        return CHOOSE
    if not line.value:
        return ""
    if not sure:
        return ENTER_ASKS
    if sure != line.value:
        return f"Enter takes {sure}."
    return TAKES if line.field.may_be_new else ""


def _clickable(value: str, at: int) -> Content:
    """A value that a click takes; the click knows its place in the list alone."""
    return said((value, STRONG)).stylize(Style.from_meta({"@click": f"screen.take({at})"}))
