"""What a person can do on each screen: the one place where keys, words and help come from.

Bindings, the line of keys at the foot, the help and the command palette are all made from this.
At most five actions of a screen stand at the foot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from textual.binding import Binding, BindingType

from tui.acts import (
    AGES,
    ALL_PARTS,
    ANYTHING,
    BACK,
    CLEAR,
    COMPARE_SCREEN,
    COPY,
    DUTY_LIST,
    EXPLAIN,
    FIND,
    FINDING_LIST,
    GO_ON,
    HANGS_ON,
    HAVE_READ,
    HEAVIER,
    HELP,
    HOW,
    HOW_COMPARED,
    KEEP,
    LAST_DAYS,
    LESS,
    LOOK,
    MARK,
    MORE,
    MOVE,
    NEW,
    NEXT_LIST,
    NEXT_PERSON,
    NEXT_PICTURE,
    NEXT_QUESTION,
    OPEN_CRANE,
    OPEN_DRAWN,
    OPEN_FOUND,
    OPEN_LAST_BUY,
    OPEN_PART,
    OPEN_PLACE,
    OPEN_POSITION,
    OPEN_RECORD,
    OPEN_SETTLED,
    OPEN_STOPPER,
    PAIRS,
    PART,
    PICTURE_LIST,
    PLAN_SCREEN,
    POSITION_LIST,
    PURCHASING_LISTS,
    QUESTION_BEFORE,
    QUIT,
    RANKING,
    READ_AGAIN,
    RECORD_LIST,
    REPORT,
    RISK_LIST,
    SHIFT,
    STEPS,
    STOP,
    SYSTEMS,
    TODAY_LIST,
    TOGETHER,
    UNIT,
    UNMARK,
    WATCH_LIST,
    WHAT_IF_SCREEN,
    WHERE,
    WHILE_TYPING,
    WRITE,
    WRITE_TYPED,
    YEAR,
    Act,
)

QUIET_FIND, QUIET_QUIT, QUIET_BACK = (replace(act, foot=False) for act in (FIND, QUIT, BACK))
LISTS = (
    *(MOVE, RECORD_LIST, TODAY_LIST, RISK_LIST, PLAN_SCREEN, PURCHASING_LISTS, LAST_DAYS),
    *(WATCH_LIST, FINDING_LIST, DUTY_LIST, PICTURE_LIST),
)
"""What opens from every screen on which letters are keys."""
FROM_ANYWHERE = (QUIET_FIND, *LISTS, WHAT_IF_SCREEN, LOOK)


def _besides(*shown: Act) -> tuple[Act, ...]:
    """Return what opens from a list that is itself one of those, or names some at its foot."""
    return tuple(act for act in FROM_ANYWHERE if act not in shown)


FLEET = (
    *(OPEN_CRANE, FIND, replace(TODAY_LIST, foot=True), HELP, QUIT),
    *(READ_AGAIN, STOP, COPY, WRITE, REPORT, STEPS, *_besides(QUIET_FIND, TODAY_LIST)),
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
    *(OPEN_PART, HOW, COMPARE_SCREEN, BACK, HELP),
    *(replace(MORE, foot=False), LESS, QUIET_FIND, WRITE_TYPED),
)
COMPARE = (HOW_COMPARED, BACK, HELP, QUIT, COPY, WRITE, *FROM_ANYWHERE)
DEADLINES = (OPEN_LAST_BUY, BACK, HELP, QUIT, COPY, WRITE, *_besides(LAST_DAYS))
LAST_BUY = (OPEN_PART, BACK, HELP, QUIT, COPY, WRITE, *FROM_ANYWHERE)
PURCHASING = (
    *(OPEN_PART, NEXT_LIST, ALL_PARTS, BACK, HELP),
    *(QUIET_QUIT, COPY, WRITE, *_besides(PURCHASING_LISTS)),
)
TODAY = (
    *(OPEN_SETTLED, NEXT_PERSON, replace(MOVE, foot=True), BACK, HELP),
    *(QUIET_QUIT, COPY, WRITE, *_besides(TODAY_LIST, MOVE)),
)
WHAT_IF = (
    *(OPEN_POSITION, NEXT_QUESTION, MORE, BACK, HELP),
    *(LESS, QUESTION_BEFORE, QUIET_QUIT, WRITE_TYPED),
    *_besides(WHAT_IF_SCREEN),
)
RISKS = (OPEN_PART, RANKING, CLEAR, HELP, QUIET_FIND, WRITE_TYPED)
WATCH = (OPEN_PART, CLEAR, HELP, QUIET_FIND, WRITE_TYPED)
FINDINGS = (OPEN_PLACE, CLEAR, HELP, QUIET_FIND, WRITE_TYPED)
PART_PANEL = (
    *(EXPLAIN, WHERE, replace(MOVE, foot=True), BACK, HELP, AGES, QUIET_QUIT),
    *_besides(MOVE),
)
EXPLANATION = (OPEN_RECORD, BACK, HELP, QUIT, COPY, WRITE, *FROM_ANYWHERE)
CRANE_YEAR = (OPEN_STOPPER, PAIRS, BACK, HELP, QUIT, COPY, WRITE, *FROM_ANYWHERE)
DUTY = (
    *(OPEN_CRANE, SHIFT, HEAVIER, BACK, HELP),
    *(QUIET_QUIT, COPY, WRITE, *_besides(DUTY_LIST)),
)
PICTURES = (
    *(OPEN_DRAWN, NEXT_PICTURE, UNIT, BACK, HELP, SYSTEMS),
    *(replace(MORE, foot=False), LESS),
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
TOLD = (
    Act("go_on", "enter", "back", "go on", "Go back to where you were"),
    *(HELP, QUIET_BACK, QUIT, QUIET_FIND),
)
BOOKED = (
    TOLD[0],
    Act("undo", "u", "undo", "undo", "Take this step back, by its opposite"),
    *TOLD[1:],
)
MOVE_STOCK = (
    Act("open", "enter", "open", "open form", "Open the form of this step"),
    *(BACK, HELP, QUIT, COPY, *_besides(MOVE)),
)
UNDO = (
    Act("open", "enter", "open", "undo", "Undo this step, after one question"),
    *(CLEAR, HELP, QUIET_FIND),
)
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
TAKE_OUT = Act("take_out", "f8", "take_out", "take out", "Take the record out, after one question")
OF_A_RECORD = (
    Act("history", "f6", "history", "who changed it", "Say who changed it when", foot=False),
    TAKE_OUT,
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
    *(BACK, replace(HELP, key="f1")),
)
WRITING = (
    Act("write", "enter", "write", "write", "Write it to this file"),
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
    "booked": BOOKED,
    "told": TOLD,
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
QUESTIONS = {
    "cautions": CAUTIONS,
    "mistake": MISTAKE,
    "leave": LEAVING,
    "sure": SURE,
    "write list": WRITING,
}
"""What is asked or told over a screen."""


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
