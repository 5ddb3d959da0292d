"""What longpole is not, in the words of screens, answers and documents that are handed over.

Stands with the records so that no room can word it differently.
"""

from __future__ import annotations

IN_SHORT = (
    "Planning aid only: no inspection and no permission to run. Qualified persons decide under "
    "the local code; nothing here says that a worn part may stay in."
)
IN_FULL = (
    "Longpole is a planning aid. It is no inspection and no permission to run a crane.",
    "Inspection, repair, substitution and load testing belong to qualified persons under the "
    "code that applies where the crane stands. They decide; longpole does not.",
    "Nothing here says that a worn or damaged part may stay in. Never run on a worn part.",
    "Where a position bears load, a used, copied or substitute part counts only with a recorded "
    "approval; and where such a position has a twin, running on one of them is for a qualified "
    "person to decide, in writing, with a limit and a date.",
)
