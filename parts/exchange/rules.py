"""All that a site book must keep to, over the site as it would stand after loading.

One call gives every fault of reading, merging and checking, in the order of the book. The checks
stand one subject a module; none of them knows of another.
"""

from __future__ import annotations

from parts.exchange import (
    check_figures,
    check_keys,
    check_references,
    check_stock,
    check_structure,
)
from parts.exchange.merge import Merged
from parts.exchange.places import in_book_order
from parts.records.answers import Fault

CHECKS = (check_keys, check_references, check_structure, check_figures, check_stock)


def faults_of(merged: Merged) -> list[Fault]:
    """Every fault of the book, those found while it was read among them; none = it may be kept."""
    found = list(merged.faults)
    for check in CHECKS:
        found.extend(check.faults(merged))
    return in_book_order(found)
