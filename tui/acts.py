"""Every single thing that a person can do: its key, its word, and what is said of it.

Keys are plain letters, arrows, enter, escape and a few function keys: control and a letter mean
other things in many terminals. Which of them a screen has is said in `actions`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

KEY_NAMES = {
    "enter": "Enter",
    "tab": "Tab",
    "escape": "Esc",
    "space": "Space",
    "plus": "+",
    "minus": "-",
    "slash": "/",
    "question_mark": "?",
    "f1": "F1",
    "f2": "F2",
    "f3": "F3",
    "f6": "F6",
    "f8": "F8",
    "f9": "F9",
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
WHILE_TYPING = ("question_mark", "tab", "plus", "minus")
"""Keys that nobody types into a filter or a number."""


@dataclass(frozen=True)
class Act:
    """One action: `action` is the method that does it, `foot` whether the foot names it, and
    `while_typing` whether its key is never part of what is typed on its screen."""

    id: str
    key: str
    action: str
    label: str
    tooltip: str
    foot: bool = True
    while_typing: bool = False

    @property
    def key_name(self) -> str:
        return key_name(self.key)


def key_name(key: str) -> str:
    """Return what is printed on the key."""
    return KEY_NAMES.get(key, key)


HELP = Act("help", "question_mark", "app.help", "help", "Say what the keys and words here mean")
QUIT = Act("quit", "q", "app.quit", "quit", "End longpole; nothing needs saving")
BACK = Act("back", "escape", "back", "back", "Go back to the screen before")
FIND = Act("find", "slash", "find", "find", "Find anything by any of its numbers, names or words")
OPEN_FOUND = Act("open", "enter", "open", "open", "Show the part, crane, position, bin or offers")
POSITION_LIST = Act(
    "other_list",
    "tab",
    "other_list",
    "positions",
    "List the positions that hold the same text, by lost days",
)
ANYTHING = Act(
    "other_list",
    "tab",
    "other_list",
    "anything",
    "Look for the same text among everything that has a name",
)
LOOK = Act("look", "t", "app.look", "other look", "Change between the two looks", foot=False)
COPY = Act("copy", "y", "copy", "copy row", "Send the row to the terminal's clipboard", foot=False)
WRITE = Act("write", "Y", "write_list", "write list", "Write the whole list to a file", foot=False)
REPORT = Act(
    "report",
    "R",
    "report",
    "report",
    "Write the documents that people hand over to one new file",
    foot=False,
)
WRITE_TYPED = replace(WRITE, key="f2")
"""Where every letter is typed into a line."""
OPEN_CRANE = Act("open", "enter", "open", "open crane", "Show the positions of this crane")
OPEN_POSITION = Act("open", "enter", "open", "open", "Show all about this position")
READ_AGAIN = Act(
    "read", "r", "app.read", "read again", "Read the database again, as it is now", foot=False
)
STOP = Act("stop", "escape", "back", "stop", "Stop what takes long; nothing changes", foot=False)
STEPS = Act(
    "first_steps", "s", "app.first_steps", "first steps", "Show what to do first", foot=False
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
    "risks",
    "k",
    "app.list('risks')",
    "risks",
    "Rank the parts by what a year may take through them",
    foot=False,
)
RANKING = Act(
    "ranking",
    "tab",
    "ranking",
    "rank the other way",
    "Rank by what a year may take, or by how hard the part is to get",
)
WATCH_LIST = Act(
    "watch",
    "l",
    "app.list('watch')",
    "watch list",
    "List the parts whose time on the market runs out",
    foot=False,
)
DUTY_LIST = Act(
    "duty",
    "d",
    "app.list('duty')",
    "duty",
    "Show how much of each working period is used",
    foot=False,
)
FINDING_LIST = Act(
    "findings",
    "n",
    "app.list('findings')",
    "findings",
    "List what a careful person would want to know",
    foot=False,
)
YEAR = Act("year", "e", "year", "a year", "Show what a year may take, and what stops the crane")
PAIRS = Act(
    "pairs", "tab", "pairs", "alone / pairs", "Change between single stoppers and weak pairs"
)
OPEN_STOPPER = Act(
    "open", "enter", "open", "open", "Show the position; of a pair, what follows from both"
)
SHIFT = Act(
    "shift", "s", "shift", "second shift", "Ask again with twice the hours a year from today on"
)
HEAVIER = Act(
    "heavier", "h", "heavier", "heavier lifts", "Ask again with heavier loads from today on"
)
OPEN_PLACE = Act("open", "enter", "open", "open", "Show the position, part or crane")
OPEN_RECORD = Act(
    "open", "enter", "open", "open record", "Show the part, position or crane of the record"
)
PLAN_SCREEN = Act(
    "plan",
    "b",
    "app.list('plan')",
    "plan",
    "Plan what to buy for a budget, and see what more or less would leave",
    foot=False,
)
LAST_DAYS = Act(
    "deadlines",
    "g",
    "app.list('deadlines')",
    "last days",
    "Show on one axis by when to place the last order of what is going",
    foot=False,
)
PURCHASING_LISTS = Act(
    "purchasing",
    "o",
    "app.list('purchasing')",
    "purchasing",
    "List what to order now, which orders are late, and what to ask suppliers",
    foot=False,
)
TODAY_LIST = Act(
    "today",
    "j",
    "app.list('today')",
    "today",
    "Show what needs the storeroom, the maintenance lead or purchasing today",
    foot=False,
)
OPEN_SETTLED = Act(
    "open", "enter", "open", "settle it", "Show the place where this line is settled"
)
NEXT_PERSON = Act(
    "person",
    "tab",
    "next_person",
    "next person",
    "Change between storeroom, maintenance lead and purchasing; the choice is remembered",
)
OPEN_LAST_BUY = Act(
    "open", "enter", "open", "how many", "Show unit by unit how many to take in the last order"
)
NEXT_LIST = Act(
    "next", "tab", "next_list", "next list", "Change between orders, late orders and enquiries"
)
ALL_PARTS = Act(
    "all", "a", "all", "all parts", "List every part with its limits, or only what to order now"
)
WHAT_IF_SCREEN = Act(
    "what_if",
    "i",
    "what_if",
    "what if",
    "Ask what would change if something fails, closes, is bought, done or used more; saves nothing",
    foot=False,
)
NEXT_QUESTION = Act(
    "next",
    "tab",
    "next_question",
    "next question",
    "Go on to the next question of the list",
)
QUESTION_BEFORE = Act(
    "before", "f3", "question_before", "question before", "Go back to the question before", False
)
MORE = Act("more", "plus", "step(True)", "more", "Raise the number to the next round one")
LESS = Act("less", "minus", "step(False)", "less", "Lower the number to the next round one", False)
HOW = Act(
    "how",
    "tab",
    "how",
    "how chosen",
    "Change between the drawing and how the plan was chosen",
)
COMPARE_SCREEN = Act(
    "compare",
    "c",
    "compare",
    "upgrades",
    "Weigh upgrades against spares for the same money, over the years",
    while_typing=True,
)
HOW_COMPARED = replace(
    HOW, label="how compared", tooltip="Change between this choice and how all were compared"
)
EXPLAIN = Act("explain", "x", "explain", "explain", "Show how the figures came about, term by term")
CLEAR = replace(BACK, label="clear, back", tooltip="Empty the filter; when it is empty, go back")

PICTURE_LIST = Act(
    "pictures",
    "z",
    "app.list('pictures')",
    "pictures",
    "Look at fleet heat, exposure by year, lead times and ages, drawn",
    foot=False,
)
NEXT_PICTURE = Act("next", "tab", "next_picture", "next picture", "Go on to the next picture")
UNIT = Act("unit", "u", "unit", "money / days", "Change between money and lost days")
SYSTEMS = Act(
    "systems",
    "s",
    "systems",
    "other systems",
    "Change between functions and classes of parts",
    foot=False,
)
OPEN_DRAWN = Act("open", "enter", "open", "open", "Show the position behind the figure")
HANGS_ON = Act(
    "needs",
    "h",
    "needs",
    "hangs on",
    "Show what the crane's functions hang on, and what each failure kills",
)
KEEP = Act("keep", "space", "keep", "keep failed", "Keep the position failed, or let it work again")
AGES = Act("ages", "s", "ages", "ages", "Draw how old each one is against its life", foot=False)
GO_ON = Act("go_on", "enter", "back", "go on", "Go on where it happened, or one screen before")
HAVE_READ = Act(
    "have_read", "enter", "read", "I have read this", "Note that you read it, and go on"
)

MOVE = Act(
    "move",
    "m",
    "app.move_stock",
    "move stock",
    "Issue, receive, return, count, move or scrap parts, or undo a step",
    foot=False,
)

RECORD_LIST = Act(
    "records",
    "v",
    "app.records",
    "records",
    "See, enter and change everything that is on record, first about what is shown",
    foot=False,
)
NEW = Act("new", "f3", "new", "new", "Enter a new record")
