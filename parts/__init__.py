"""longpole: which part would leave which overhead crane down longest, and why."""
