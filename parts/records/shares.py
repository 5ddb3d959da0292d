"""A share of 1 as a percentage, written alike on screens, under commands and on paper."""

from __future__ import annotations


def percent(share: float) -> str:
    """Return whole percent; only what is none is 0 and only what is all is 100."""
    whole = round(share * 100)
    if whole == 0 and share > 0:
        return "<1 %"
    return ">99 %" if whole == 100 and share < 1 else f"{whole} %"
