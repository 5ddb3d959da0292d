"""Site books and other people's spreadsheets to records and faults, and back."""
