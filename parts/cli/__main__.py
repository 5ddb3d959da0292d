"""`python -m parts.cli`, where no console script is at hand."""

import sys

from parts.cli import main

sys.exit(main())
