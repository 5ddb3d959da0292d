"""How long a failure waits in the long run."""
