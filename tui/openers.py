"""Which screen shows what a person asked to open: the one place that knows all of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from tui import messages
from tui.forms.steps import FORM_OF
from tui.screens.compare import CompareScreen
from tui.screens.contents import HeldScreen, OffersScreen
from tui.screens.count_sheets import BookSheetScreen, CountSheetScreen
from tui.screens.crane import CraneScreen
from tui.screens.deadlines import DeadlinesScreen
from tui.screens.duty import DutyScreen
from tui.screens.explanation import ExplanationScreen
from tui.screens.find import FindScreen
from tui.screens.findings import FindingsScreen
from tui.screens.last_buy import LastBuyScreen
from tui.screens.move_stock import MoveStockScreen
from tui.screens.needs import NeedsScreen
from tui.screens.page import Page
from tui.screens.part import PartScreen
from tui.screens.pictures import PicturesScreen
from tui.screens.plan import PlanScreen
from tui.screens.position import PositionScreen
from tui.screens.positions import PositionsScreen
from tui.screens.promises import PromiseScreen, ReleaseScreen
from tui.screens.purchasing import PurchasingScreen
from tui.screens.record_form import RecordFormScreen
from tui.screens.records import RecordsScreen
from tui.screens.risks import RisksScreen
from tui.screens.rows import RowsScreen
from tui.screens.step_form import StepFormScreen
from tui.screens.today import TodayScreen
from tui.screens.together import TogetherScreen
from tui.screens.undo import UndoScreen
from tui.screens.watch import WatchScreen
from tui.screens.what_if import WhatIfScreen
from tui.screens.year import CraneYearScreen
from tui.site import Site

LISTS: dict[str, Callable[[Site], Page]] = {
    "deadlines": DeadlinesScreen,
    "duty": DutyScreen,
    "findings": FindingsScreen,
    "pictures": PicturesScreen,
    "plan": PlanScreen,
    "purchasing": PurchasingScreen,
    "risks": RisksScreen,
    "today": TodayScreen,
    "watch": WatchScreen,
}
"""The lists of the whole site, by the name that their action gives."""
STEPS: dict[str, Callable[[Site, Mapping[str, str]], Page]] = {
    "book sheet": BookSheetScreen,
    "count sheet": CountSheetScreen,
    "promise": PromiseScreen,
    "release": ReleaseScreen,
}
"""What is done with the stock besides moving it, by the name that its line gives."""
PAGES: dict[type[messages.Opens], Callable[[Site, Any], Page]] = {
    messages.OpenAges: lambda site, told: PicturesScreen(site, told.part),
    messages.OpenComparison: lambda site, told: CompareScreen(site, told.budget),
    messages.OpenCrane: lambda site, told: CraneScreen(site, told.crane),
    messages.OpenExplanation: lambda site, told: ExplanationScreen(site, told.subject),
    messages.OpenFind: lambda site, told: FindScreen(site, told.text),
    messages.OpenHeld: lambda site, told: HeldScreen(site, told.store, told.bin_name),
    messages.OpenLastBuy: lambda site, told: LastBuyScreen(site, told.part),
    messages.OpenList: lambda site, told: LISTS[told.name](site),
    messages.OpenOffers: lambda site, told: OffersScreen(site, told.supplier),
    messages.OpenMoves: lambda site, told: MoveStockScreen(site, told.begun),
    messages.OpenRecord: lambda site, told: RecordFormScreen(site, told.file, told.row, told.begun),
    messages.OpenRecords: lambda site, told: RecordsScreen(site, told.about),
    messages.OpenRows: lambda site, told: (
        RecordFormScreen(site, told.file, None, told.about)
        if told.new
        else RowsScreen(site, told.file, told.about)
    ),
    messages.OpenStep: lambda site, told: (
        STEPS[told.kind](site, told.begun)
        if told.kind in STEPS
        else StepFormScreen(site, FORM_OF[told.kind], told.begun)
    ),
    messages.OpenUndo: lambda site, told: UndoScreen(site, told.key),
    messages.OpenNeeds: lambda site, told: NeedsScreen(site, told.crane, told.position),
    messages.OpenPart: lambda site, told: PartScreen(site, told.part),
    messages.OpenPosition: lambda site, told: PositionScreen(site, told.crane, told.position),
    messages.OpenPositions: lambda site, told: PositionsScreen(site, told.text),
    messages.OpenPurchasing: lambda site, told: PurchasingScreen(site, told.kind, told.names),
    messages.OpenTogether: lambda site, told: TogetherScreen(site, told.places),
    messages.OpenWhatIf: lambda site, told: WhatIfScreen(site, told.subjects),
    messages.OpenYear: lambda site, told: CraneYearScreen(site, told.crane),
}


def page_for(message: messages.Opens, site: Site) -> Page:
    """Return the screen that a message asks for, which keeps what opened it and what it shows."""
    page = PAGES[type(message)](site, message)
    page.opened_by, page.shows = message, site
    return page
