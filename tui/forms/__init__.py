"""Forms: what is typed line by line, checked beside the line, and never lost."""
