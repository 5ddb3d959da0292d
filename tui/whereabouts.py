"""Where on the screens a person is, in a form that can be kept, and found again.

Knows what opened a page and what of that is still there on another day. Refuses to open a place
that is gone.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tui import messages
from tui.openers import LISTS
from tui.site import Site
from tui.widgets.spots import Spot

KEPT: tuple[type[messages.Opens], ...] = (
    messages.OpenCrane,
    messages.OpenExplanation,
    messages.OpenFind,
    messages.OpenLastBuy,
    messages.OpenList,
    messages.OpenPart,
    messages.OpenPosition,
    messages.OpenWhatIf,
    messages.OpenYear,
)
"""What may be opened again on another day; questions about marked positions are not."""


def kept(opened_by: messages.Opens | None, spot: Spot) -> list[Any]:
    """Return a place as JSON can hold it; what is not kept is a row of the first screen."""
    row = [spot.row, list(spot.about), spot.typed]
    if not isinstance(opened_by, KEPT):
        return ["", {}, row]
    return [type(opened_by).__name__, vars(opened_by), row]


def spot_of(told: object) -> Spot:
    """Return the row of a place that was kept."""
    match told:
        case [_, _, [int(row), list(subject), str(typed)]]:
            return Spot(max(0, row), tuple(map(str, subject)), typed)
    return Spot()


def opening_of(told: object, site: Site) -> messages.Opens | None:
    """Return what opens a place that was kept, None where it is damaged or its subject is gone."""
    match told:
        case [str(name), dict(found), _]:
            kinds: dict[str, Callable[..., messages.Opens]] = {k.__name__: k for k in KEPT}
            fields = {key: _hashable(value) for key, value in found.items()}
            if name in kinds:
                try:
                    message = kinds[name](**fields)
                except TypeError:
                    return None
                return message if is_there(message, site) else None
    return None


def is_there(message: messages.Opens, site: Site) -> bool:
    """Return whether what a message opens is in a site."""
    if isinstance(message, messages.OpenPosition) and not site.lists(
        message.crane, message.position
    ):
        return False
    return all(_is_there(name, value, site) for name, value in vars(message).items())


def _hashable(value: object) -> object:
    return tuple(map(_hashable, value)) if isinstance(value, list) else value


def _is_there(name: str, value: object, site: Site) -> bool:
    """Return whether what an attribute of a message names is there."""
    there = name not in ("crane", "part", "subject", "name", "position", "text")
    match name, value:
        case ("crane", str()):
            there = value in site.snapshot.cranes and site.snapshot.is_live(value)
        case ("part" | "subject", str()):
            there = value in site.snapshot.parts
        case ("subject", (str(crane), str(position))):
            there = site.lists(crane, position)
        case ("name", str()):
            there = value in LISTS
        case ("position" | "text", str()):
            there = True
    return there
