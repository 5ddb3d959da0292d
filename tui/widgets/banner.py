"""A line that is there only when something went wrong, or takes long: one sentence."""

from __future__ import annotations

from textual.widgets import Static

from tui.widgets.texts import said


class Banner(Static):
    """Hidden until `say` is called with a sentence."""

    DEFAULT_CSS = """
    Banner {
        display: none; padding: 0 1; background: $panel; color: $text-error; text-style: bold;
    }
    Banner:nocolor { color: $foreground; }
    Banner.said { display: block; }
    Banner.busy { color: $foreground; }
    """

    sentence = ""
    """What was said last."""

    def say(self, sentence: str) -> None:
        """Show a sentence, or hide the line for an empty one."""
        if not sentence and not self.has_class("said"):
            return  # laying out the page anew for nothing would cost a third of a keystroke
        self.sentence = sentence
        self.set_class(bool(sentence), "said")
        self.remove_class("busy")
        self.update(said(f"! {sentence}" if sentence else ""))

    def tell(self, sentence: str) -> None:
        """Show what is being done."""
        self.sentence = ""
        self.add_class("said", "busy")
        self.update(said(sentence))
