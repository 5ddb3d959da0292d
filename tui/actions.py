"""What a person can do on each screen: the one place where keys, words and help come from.

Bindings, the line of keys at the foot, the help and the command palette are all made from this.
Keys are plain letters, arrows, enter and escape: control and a letter mean other things in many
terminals. At most five actions of a screen stand at the foot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from textual.binding import Binding, BindingType

KEY_NAMES = {
    "enter": "Enter",
    "tab": "Tab",
    "escape": "Esc",
    "space": "Space",
    "slash": "/",
    "question_mark": "?",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "home": "Home",
    "end": "End",
    "backspace": "Backspace",
}


@dataclass(frozen=True)
class Act:
    """One action: `action` is the method that does it, `foot` whether the foot names it."""

    id: str
    key: str
    action: str
    label: str
    tooltip: str
    foot: bool = True

    @property
    def key_name(self) -> str:
        return key_name(self.key)


def key_name(key: str) -> str:
    """Return what is printed on the key."""
    return KEY_NAMES.get(key, key)


HELP = Act("help", "question_mark", "app.help", "help", "Say what the keys and words here mean")
QUIT = Act("quit", "q", "app.quit", "quit", "End longpole; nothing needs saving")
BACK = Act("back", "escape", "back", "back", "Go back to the screen before")
FIND = Act(
    "find", "slash", "find", "find", "List all positions of the fleet and type to filter them"
)
LOOK = Act("look", "t", "app.look", "other look", "Change between the two looks", foot=False)
COPY = Act("copy", "y", "copy", "copy row", "Send the row to the terminal's clipboard", foot=False)
OPEN_CRANE = Act("open", "enter", "open", "open crane", "Show the positions of this crane")
OPEN_POSITION = Act("open", "enter", "open", "open", "Show all about this position")
READ_AGAIN = Act(
    "read", "r", "app.read", "read again", "Read the database again, as it is now", foot=False
)
MARK = Act("mark", "space", "mark", "mark", "Mark the position, or take its mark away")
TOGETHER = Act(
    "together", "f", "together", "fail together", "Show what follows when all marked ones fail"
)
UNMARK = Act("unmark", "u", "unmark", "unmark all", "Take all marks away", foot=False)
PART = Act("part", "p", "part", "the part", "Show every way to get the part, and its route")
WHERE = Act("where", "w", "where", "where else", "List the positions that hold this part")
OPEN_PART = Act("open", "enter", "open", "open part", "Show all about this part")
RISK_LIST = Act(
    "risks", "k", "app.risks", "risks", "Rank the parts by what a year may take through them"
)
RANKING = Act(
    "ranking",
    "tab",
    "ranking",
    "rank the other way",
    "Rank by what a year may take, or by how hard the part is to get",
)
OPEN_RECORD = Act(
    "open", "enter", "open", "open record", "Show the part, position or crane of the record"
)
EXPLAIN = Act("explain", "x", "explain", "explain", "Show how the figures came about, term by term")
CLEAR = replace(BACK, label="clear, back", tooltip="Empty the filter; when it is empty, go back")

FLEET = (OPEN_CRANE, FIND, RISK_LIST, HELP, QUIT, READ_AGAIN, COPY, LOOK)
QUIET_FIND, QUIET_QUIT = replace(FIND, foot=False), replace(QUIT, foot=False)
CRANE = (OPEN_POSITION, MARK, TOGETHER, BACK, HELP, QUIET_FIND, UNMARK, COPY, LOOK, QUIET_QUIT)
POSITION = (PART, EXPLAIN, WHERE, BACK, HELP, QUIET_FIND, LOOK, QUIET_QUIT)
POSITIONS = (OPEN_POSITION, CLEAR, HELP)
RISKS = (OPEN_PART, RANKING, CLEAR, HELP)
PART_PANEL = (EXPLAIN, WHERE, BACK, HELP, QUIET_FIND, LOOK, QUIT)
EXPLANATION = (OPEN_RECORD, BACK, HELP, QUIET_FIND, COPY, LOOK, QUIT)
TOGETHER_PANEL = (replace(UNMARK, foot=True), BACK, HELP, QUIET_FIND, LOOK, QUIT)
HELP_PANEL = (BACK, LOOK, QUIT)
SCREENS = {
    "fleet": FLEET,
    "crane": CRANE,
    "position": POSITION,
    "positions": POSITIONS,
    "risks": RISKS,
    "explanation": EXPLANATION,
    "part": PART_PANEL,
    "together": TOGETHER_PANEL,
    "help": HELP_PANEL,
}


def bindings(acts: Sequence[Act]) -> list[BindingType]:
    """Return the bindings of a screen; help and tab answer even while a filter is typed."""
    return [
        Binding(
            act.key,
            act.action,
            act.label,
            show=act.foot,
            tooltip=act.tooltip,
            key_display=act.key_name,
            priority=act is HELP or act.key == "tab",
            id=act.id,
        )
        for act in acts
    ]
