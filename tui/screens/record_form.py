"""One record, to be entered, changed or taken out.

What somebody else changed meanwhile is never overwritten: their values are shown beside these, and
only saving once more puts these in their place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from textual.content import Content

from parts.errors import EditedMeanwhile, LongpoleError
from parts.records.answers import Fault
from parts.records.book import FILES_BY_NAME
from parts.records.cells import texts_of
from tui import actions
from tui.acts import Act
from tui.forms.fields import FormField, Outcome, Values
from tui.forms.form_line import FormLine
from tui.forms.record_fields import FILES, fields_of, with_what_to_type
from tui.messages import Booked
from tui.screens.form import FormPage
from tui.screens.sure import SureScreen
from tui.site import Site
from tui.widgets.key_line import KeyLine
from tui.widgets.texts import QUIET, WARN, said

SAVED, TAKEN_OUT = "Saved.", "Taken out; the journal keeps what it was."
THEIRS = (
    "Somebody changed it since you opened it: their values stand beside yours. F2 keeps yours, "
    "F9 takes theirs."
)


class RecordFormScreen(FormPage):
    """The columns of one record; `row` None = it is new, begun with what is given."""

    ACTS: ClassVar[tuple[Act, ...]] = actions.RECORD
    BINDINGS: ClassVar = [*FormPage.BINDINGS, *actions.bindings(actions.OF_A_RECORD)]

    def __init__(self, site: Site, file: str, row: Any | None, begun: Mapping[str, str]) -> None:
        one = FILES[file].one
        key = "new" if row is None else ", ".join(key_texts(file, row))
        trail = ("longpole", "records", FILES[file].title, f"{one} {key}")
        super().__init__(trail, f"today is {site.snapshot.today}", f"record {file} {key}")
        self._site, self._file, self._row = site, file, row
        self._given = dict(begun)
        self._conflict: EditedMeanwhile | None = None

    def on_mount(self) -> None:
        """Offer to take out only what is on record."""
        self.query_one(KeyLine).leave_out(*(() if self._row else (actions.TAKE_OUT,)))

    def fields(self) -> Sequence[FormField]:
        """Return the columns."""
        return fields_of(self._file, self._names_of, fixed=self._row is not None)

    def begun_with(self) -> Values:
        """Return what is on record, or what is known of a new one."""
        return self._given if self._row is None else texts_of(self._row)

    def save(self, values: Values) -> Outcome:
        """Save the record."""
        try:
            faults = self.desk.save_record(self._file, values, self._row)
        except EditedMeanwhile as edited:
            return self._edited(edited)
        except LongpoleError as refused:
            return Outcome(refused=str(refused))
        return Outcome(wrong=_by_column(self._file, faults)) if faults else Outcome(done=SAVED)

    def _edited(self, edited: EditedMeanwhile) -> Outcome:
        """Show what somebody else made of it; from now on that is what this one replaces."""
        if self._row is not None:
            self._row = self.desk.record_now(self._file, self._row)
        if self._row is None:
            return Outcome(refused=str(edited))
        self._begun = dict.fromkeys(self._begun, "") | texts_of(self._row)
        beside = {name: f"theirs: {now or 'blank'}" for name, _, now in edited.differences}
        return Outcome(wrong=beside, refused=THEIRS)

    def finished(self) -> None:
        """Have the site read anew, and go back."""
        self.app.post_message(Booked())
        super().finished()

    def below(self, line: FormLine) -> Sequence[Content]:
        """Return what may be meant, and that a key stays."""
        if line.field.fixed:
            return [said(("The key of a record stays.", QUIET))]
        return super().below(line)

    def action_take_out(self) -> None:
        """Take the record out, after one question."""
        if self._row is None:
            self.refused("It is not on record yet: there is nothing to take out.")
            return
        question = SureScreen("Take this record out?", ", ".join(key_texts(self._file, self._row)))
        self.app.push_screen(question, lambda sure: self._take_out() if sure else None)

    def _take_out(self) -> None:
        row = self._row
        self.ask(lambda: self._remove(row), self._saved)

    def _remove(self, row: Any) -> Outcome:
        try:
            faults = self.desk.remove_record(self._file, row)
        except LongpoleError as refused:
            return Outcome(refused=str(refused))
        if faults:
            return Outcome(refused=f"It stays: {'; '.join(fault.reason for fault in faults[:3])}.")
        return Outcome(done=TAKEN_OUT)

    def action_history(self) -> None:
        """Say below who changed it when."""
        if self._row is not None:
            row = self._row
            self.ask(lambda: self.desk.history(self._file, row), self._tell_history)

    def _tell_history(self, changes: Sequence[Any]) -> None:
        lines = [said((line, WARN)) for line in history_lines(changes)]
        self.tell_below(lines or [said(("Nobody changed it since it was loaded.", QUIET))])

    def _names_of(self, file: str) -> Sequence[str]:
        crane = self.values.get("crane", "") if self.lines else ""
        return self._site.names_of(file, crane)


def key_texts(file: str, row: Any) -> list[str]:
    """The key of a record, as it is written."""
    texts = texts_of(row)
    names = (name.rstrip("_") for name in FILES_BY_NAME[file].key)
    return [texts[name] for name in names if name in texts]


def history_lines(changes: Sequence[Any]) -> list[str]:
    """Who changed what when, the latest first."""
    lines = []
    for change in reversed(changes):
        before, after = change.before or {}, change.after or {}
        told = "; ".join(
            f"{name} {before.get(name, 'blank')} → {after.get(name, 'blank')}"
            for name in sorted(before.keys() | after.keys())
            if before.get(name) != after.get(name)
        )
        lines.append(f"{change.stamp.at} {change.stamp.who}: {told}")
    return lines


def _by_column(file: str, faults: Sequence[Fault]) -> dict[str, str]:
    wrong: dict[str, str] = {}
    for fault in faults:
        column = fault.column or ""
        wrong.setdefault(column, with_what_to_type(file, column, fault.reason))
    return wrong
