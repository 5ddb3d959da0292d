"""Write the invented demo site into data/demo, and the class defaults into data/classes.csv.

    python3 scripts/make_demo.py [FOLDER]

Standard library only; the same files come out on every machine and every day.
"""

import sys
from pathlib import Path

from demo import ROOT, site
from demo.classes import classes

from parts.records.book import FILES_BY_NAME


def main(arguments: list[str]) -> int:
    data = Path(arguments[0]) if arguments else ROOT / "data"
    site.write(data / "demo")
    defaults = site.text_of(FILES_BY_NAME["classes"], classes())
    (data / "classes.csv").write_text(defaults, encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
