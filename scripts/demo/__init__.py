"""The invented demo site, made by a seeded script from tables that are written by hand.

Standard library only. Invariant: the same tables give the same files, byte for byte, on any day.
"""

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
if str(ROOT) not in sys.path:  # `python3 scripts/make_demo.py` runs without an installation
    sys.path.append(str(ROOT))
