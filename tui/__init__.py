"""The screens of longpole. They show answers of `parts.services` and never calculate."""
