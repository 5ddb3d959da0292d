"""The screens of longpole. They show answers of `parts.services` and never calculate."""

import os

# The framework reads this once, when it is first imported. At its own 60 a person who types waits
# up to 17 ms for the next frame, which is a third of what a key may take.
os.environ.setdefault("TEXTUAL_FPS", "120")
