"""A blind sheet to count by, written to a file; and one that was filled in, booked as a whole."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from parts.errors import LongpoleError, UnknownName
from parts.records.settings import plain_day
from tui import words
from tui.count_sentences import report_lines, sheet_lines
from tui.forms.fields import FormField, Outcome, Values, among
from tui.forms.steps import A_DAY, wrong_texts
from tui.messages import Booked
from tui.screens.form import FormPage
from tui.screens.told import ToldScreen
from tui.site import Site
from tui.widgets.texts import Piece

SHEET_FILE = "count sheet"
"""What is remembered on this machine: where the last sheet was written."""


class CountSheetScreen(FormPage):
    """Which bins are walked along, and the file that the sheet goes into."""

    WORDS: ClassVar = words.STOCK

    def __init__(self, site: Site, begun: Values) -> None:
        trail = ("longpole", "move stock", "count sheet")
        super().__init__(trail, f"today is {site.snapshot.today}", "count sheet")
        self._site = site
        self._told: tuple[Piece, ...] = ()

    def fields(self) -> Sequence[FormField]:
        """Return where to count, and the file."""
        return [
            FormField("store", "Store", "blank: all of them", offers=among(self._site.stores)),
            FormField("bin_from", "From bin", "blank: from the first"),
            FormField("bin_to", "To bin", "blank: to the last"),
            FormField("file", "Write it to", "a file that is not there yet, .csv", required=True),
        ]

    def begun_with(self) -> Values:
        """Return a name for the file."""
        return {"file": f"count-{self.desk.today}.csv"}

    def save(self, values: Values) -> Outcome:
        """Write the sheet."""
        path = Path(values["file"]).expanduser().absolute()
        limits = (values[name] or None for name in ("store", "bin_from", "bin_to"))
        try:
            sheet = self.desk.write_count_sheet(path, *limits)
        except UnknownName as unknown:
            return Outcome(wrong={"store": str(unknown)})
        except LongpoleError as refused:
            return Outcome(wrong={"file": str(refused)})
        if not sheet.lines:
            return Outcome(wrong={"store": "there is nothing to count there"})
        self.desk.remember(SHEET_FILE, str(path))
        self._told = tuple(sheet_lines(sheet, str(path)))
        return Outcome()

    def finished(self) -> None:
        """Say where it is."""
        self.app.switch_screen(ToldScreen("count sheet", self._told))


class BookSheetScreen(FormPage):
    """The file of a sheet, the day on which it was counted, and by whom."""

    WORDS: ClassVar = words.STOCK

    def __init__(self, site: Site, begun: Values) -> None:
        trail = ("longpole", "move stock", "book sheet")
        super().__init__(trail, f"today is {site.snapshot.today}", "book sheet")
        self._told: tuple[Piece, ...] = ()

    def fields(self) -> Sequence[FormField]:
        """Return the file, the day, the person."""
        return [
            FormField("file", "Sheet", "path of the file that was filled in", required=True),
            FormField("date", "Counted on", f"{A_DAY}, blank: today"),
            FormField("by", "Counted by", "blank: you"),
        ]

    def begun_with(self) -> Values:
        """Return the sheet that was written last."""
        return {"file": str(self.desk.recall(SHEET_FILE) or "")}

    def check(self, values: Values) -> dict[str, str]:
        """Return what is wrong with the day."""
        return wrong_texts(values)

    def save(self, values: Values) -> Outcome:
        """Book the sheet, all of it or nothing."""
        day = plain_day(values["date"]) if values["date"] else self.desk.today
        source = Path(values["file"]).expanduser()
        try:
            report = self.desk.book_count_sheet(source, day, values["by"])
        except LongpoleError as refused:
            return Outcome(wrong={"file": str(refused)})
        self._told = tuple(report_lines(report))
        return Outcome()

    def finished(self) -> None:
        """Tell what the count found, and have the site read anew."""
        self.app.post_message(Booked())
        self.app.switch_screen(ToldScreen("counted by sheet", self._told))
