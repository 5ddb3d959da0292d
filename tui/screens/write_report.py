"""One line that asks for the name of the new file that takes the documents to hand over.

Here a file that is there is never written over: somebody may have been handed it.
"""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from parts.errors import LongpoleError
from parts.services.reports import free_target
from tui.screens.file_asked import FileAskedScreen


class WriteReportScreen(FileAskedScreen[Path]):
    """Ends with where the documents may be written."""

    ASK: ClassVar = (
        "Write the documents to hand over to this new file; .html is a page, .xlsx a workbook."
    )

    def action_write(self) -> None:
        """Go on with the name, if a new file may be there."""
        try:
            target = free_target(self.name_typed)
        except LongpoleError as refused:
            self.say_what_is_wrong(f"{refused}.")
        else:
            self.dismiss(target)
