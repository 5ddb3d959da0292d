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
WHAT_IF_PART = Act(
    "what_if",
    "i",
    "what_if",
    "what if",
    "Ask what a quotation that comes true, or a supplier that closes, would change",
)
NEXT_QUESTION = Act(
    "next",
    "tab",
    "next_question",
    "next question",
    "Ask about the supplier closing, then about the next supplier",
)
MORE = Act("more", "plus", "step(True)", "more", "Raise the number to the next round one")
LESS = Act("less", "minus", "step(False)", "less", "Lower the number to the next round one")
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

QUIET_FIND, QUIET_QUIT, QUIET_RISKS = (replace(act, foot=False) for act in (FIND, QUIT, RISK_LIST))
LISTS = (
    *(MOVE, RECORD_LIST, TODAY_LIST, PLAN_SCREEN, PURCHASING_LISTS, LAST_DAYS),
    *(WATCH_LIST, FINDING_LIST, DUTY_LIST, PICTURE_LIST),
)
"""What opens from every screen on which letters are keys."""
FROM_ANYWHERE = (QUIET_FIND, QUIET_RISKS, *LISTS, LOOK)


def _besides(shown: Act) -> tuple[Act, ...]:
    """Return what opens from a list that is itself one of those."""
    return tuple(act for act in FROM_ANYWHERE if act is not shown)


FLEET = (
    *(OPEN_CRANE, FIND, RISK_LIST, HELP, QUIT, *LISTS),
    *(READ_AGAIN, STOP, COPY, WRITE, STEPS, LOOK),
)
CRANE = (
    *(OPEN_POSITION, MARK, YEAR, BACK, HELP, replace(HANGS_ON, foot=False)),
    *(replace(TOGETHER, foot=False), UNMARK, COPY, WRITE, QUIET_QUIT, *FROM_ANYWHERE),
)
POSITION = (
    *(PART, EXPLAIN, HANGS_ON, BACK, HELP),
    *(replace(WHERE, foot=False), QUIET_QUIT, *FROM_ANYWHERE),
)
FIND_ANYTHING = (OPEN_FOUND, POSITION_LIST, CLEAR, HELP, WRITE_TYPED)
POSITIONS = (OPEN_POSITION, ANYTHING, CLEAR, HELP, WRITE_TYPED)
CONTENTS = (OPEN_PART, BACK, HELP, QUIT, COPY, WRITE, *FROM_ANYWHERE)
PLAN = (
    *(OPEN_PART, MORE, HOW, COMPARE_SCREEN, HELP),
    *(replace(LESS, foot=False), replace(BACK, foot=False), QUIET_FIND, WRITE_TYPED),
)
COMPARE = (HOW_COMPARED, BACK, HELP, QUIT, COPY, WRITE, *FROM_ANYWHERE)
DEADLINES = (OPEN_LAST_BUY, BACK, HELP, QUIT, COPY, WRITE, *_besides(LAST_DAYS))
LAST_BUY = (OPEN_PART, BACK, HELP, QUIT, COPY, WRITE, *FROM_ANYWHERE)
PURCHASING = (
    *(OPEN_PART, NEXT_LIST, ALL_PARTS, BACK, HELP),
    *(QUIET_QUIT, COPY, WRITE, *_besides(PURCHASING_LISTS)),
)
TODAY = (
    *(OPEN_SETTLED, NEXT_PERSON, BACK, HELP, QUIT),
    *(COPY, WRITE, *_besides(TODAY_LIST)),
)
WHAT_IF = (
    OPEN_POSITION,
    NEXT_QUESTION,
    MORE,
    LESS,
    HELP,
    replace(BACK, foot=False),
    QUIET_FIND,
    WRITE_TYPED,
)
RISKS = (OPEN_PART, RANKING, CLEAR, HELP, QUIET_FIND, WRITE_TYPED)
WATCH = (OPEN_PART, CLEAR, HELP, QUIET_FIND, WRITE_TYPED)
FINDINGS = (OPEN_PLACE, CLEAR, HELP, QUIET_FIND, WRITE_TYPED)
PART_PANEL = (EXPLAIN, WHERE, WHAT_IF_PART, BACK, HELP, AGES, QUIET_QUIT, *FROM_ANYWHERE)
EXPLANATION = (OPEN_RECORD, BACK, HELP, QUIT, COPY, WRITE, *FROM_ANYWHERE)
CRANE_YEAR = (OPEN_STOPPER, PAIRS, BACK, HELP, QUIT, COPY, WRITE, *FROM_ANYWHERE)
DUTY = (
    *(OPEN_CRANE, SHIFT, HEAVIER, BACK, HELP),
    *(QUIET_QUIT, COPY, WRITE, *_besides(DUTY_LIST)),
)
PICTURES = (
    *(OPEN_DRAWN, NEXT_PICTURE, UNIT, BACK, HELP, SYSTEMS),
    *(replace(MORE, foot=False), replace(LESS, foot=False)),
    *(QUIET_QUIT, COPY, WRITE, *_besides(PICTURE_LIST)),
)
NEEDS = (
    *(OPEN_POSITION, KEEP, TOGETHER, BACK, HELP),
    *(UNMARK, COPY, WRITE, QUIET_QUIT, *FROM_ANYWHERE),
)
TOGETHER_PANEL = (replace(UNMARK, foot=True), BACK, HELP, QUIT, *FROM_ANYWHERE)
HELP_PANEL = (BACK, replace(STEPS, foot=True), LOOK, QUIT, QUIET_FIND)
FORM = (
    Act("save", "f2", "save", "save", "Keep what is typed; what is wrong is said beside the line"),
    Act("empty", "f9", "empty", "empty", "Put back what stood here before anything was typed"),
    replace(BACK, tooltip="Go back; with something typed, ask first"),
    replace(HELP, key="f1"),
)
BOOKED = (
    Act("go_on", "enter", "back", "go on", "Go back to where you were"),
    Act("undo", "u", "undo", "undo", "Take this step back, by its opposite"),
    *(HELP, replace(BACK, foot=False), QUIT, QUIET_FIND),
)
MOVE_STOCK = (
    Act("open", "enter", "open", "open form", "Open the form of this step"),
    *(BACK, HELP, QUIT, COPY, *_besides(MOVE)),
)
UNDO = (
    Act("open", "enter", "open", "undo", "Undo this step, after one question"),
    *(CLEAR, HELP, QUIET_FIND),
)
NEW = Act("new", "f3", "new", "new", "Enter a new record")
RECORDS = (
    Act("open", "enter", "open", "list", "List the rows of these records"),
    NEW,
    Act("other", "tab", "other", "all / about this", "Change between all and those about one"),
    *(BACK, HELP, QUIET_QUIT, COPY, *_besides(RECORD_LIST)),
)
ROWS = (
    Act("open", "enter", "open", "open", "Open the form of this record"),
    *(NEW, CLEAR, HELP, QUIET_FIND),
)
OF_A_RECORD = (
    Act("history", "f6", "history", "who changed it", "Say who changed it when", foot=False),
    Act("take_out", "f8", "take_out", "take out", "Take the record out, after one question"),
)
RECORD = (*FORM, *OF_A_RECORD)
SURE = (
    Act("yes", "y", "answer(True)", "yes", "Do it"),
    Act("no", "escape", "answer(False)", "no", "Change nothing"),
    Act("no_too", "enter", "answer(False)", "no", "Change nothing", foot=False),
)
LEAVING = (
    Act("stay", "enter", "answer('KEEP_EDITING')", "go on typing", "Go back to the form"),
    Act("keep", "k", "answer('KEEP_DRAFT')", "keep for later", "Leave, and offer it again"),
    Act("throw", "t", "answer('THROW_AWAY')", "throw away", "Leave, and forget what was typed"),
    Act("back", "escape", "answer('KEEP_EDITING')", "go on typing", "Go back", foot=False),
)
FIRST_STEPS = (
    Act("open", "enter", "open", "do it", "Do this step"),
    *(BACK, HELP, QUIT, LOOK),
)
LOAD_BOOK = (
    Act("load", "enter", "load", "look through, load", "Look the book through; again: load it"),
    *(BACK, HELP),
)
WRITING = (
    Act("write", "enter", "write", "write", "Write the list to this file"),
    Act("leave", "escape", "leave", "leave it", "Write nothing"),
)
CAUTIONS = (HAVE_READ, QUIT, HELP, LOOK)
MISTAKE = (GO_ON, QUIT, HELP, LOOK)
SCREENS = {
    "fleet": FLEET,
    "crane": CRANE,
    "position": POSITION,
    "find": FIND_ANYTHING,
    "contents": CONTENTS,
    "positions": POSITIONS,
    "plan": PLAN,
    "compare": COMPARE,
    "purchasing": PURCHASING,
    "today": TODAY,
    "deadlines": DEADLINES,
    "last buy": LAST_BUY,
    "what if": WHAT_IF,
    "needs": NEEDS,
    "pictures": PICTURES,
    "move stock": MOVE_STOCK,
    "step": FORM,
    "undo": UNDO,
    "records": RECORDS,
    "rows": ROWS,
    "record": RECORD,
    "risks": RISKS,
    "explanation": EXPLANATION,
    "watch": WATCH,
    "findings": FINDINGS,
    "duty": DUTY,
    "year": CRANE_YEAR,
    "part": PART_PANEL,
    "together": TOGETHER_PANEL,
    "help": HELP_PANEL,
    "first steps": FIRST_STEPS,
    "load book": LOAD_BOOK,
}


def bindings(acts: Sequence[Act]) -> list[BindingType]:
    """Return the bindings of a screen; help, tab and steps answer even while something is typed."""
    return [
        Binding(
            act.key,
            act.action,
            act.label,
            show=act.foot,
            tooltip=act.tooltip,
            key_display=act.key_name,
            priority=act.while_typing or act.key in WHILE_TYPING,
            id=act.id,
        )
        for act in acts
    ]
