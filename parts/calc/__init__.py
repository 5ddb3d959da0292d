"""Pure arithmetic on a snapshot: no clock, no file, no database, no global random numbers."""
