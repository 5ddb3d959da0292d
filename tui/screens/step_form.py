"""One step with the stock: issue, receive, return, count, transfer, scrap, care.

The step has its key from the moment that the form opens, so that saving twice, also after a lost
connection or a crash, books it once.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from textual.content import Content

from parts.errors import LongpoleError, StepRefused, UnknownName
from parts.records.stock import CONDITIONS
from parts.records.stock_card import StockCard
from parts.records.stock_steps import Posted
from tui.forms.fields import FormField, Offered, Offers, Outcome, Values, among
from tui.forms.form_line import FormLine
from tui.forms.steps import FACTS, NEW_NAMES, StepForm, facts_of, field_of, wrong_texts
from tui.messages import Booked
from tui.screens.booked import BookedScreen
from tui.screens.form import FormPage
from tui.site import Site
from tui.step_sentences import card_lines
from tui.widgets.texts import said

KEY = "key"


class StepFormScreen(FormPage):
    """The lines of one kind of step, and below them what is there of the part."""

    def __init__(self, site: Site, form: StepForm, begun: Values) -> None:
        trail = ("longpole", "move stock", form.word)
        super().__init__(trail, f"today is {site.snapshot.today}", f"step {form.kind}")
        self._site = site
        self._step = form
        self._given = begun
        self._key = ""
        self._card: StockCard | None = None
        self._posted: Posted | None = None

    def fields(self) -> Sequence[FormField]:
        """Return what this kind of step asks for."""
        return [
            FormField(
                name,
                *FACTS[name],
                name in self._step.must,
                self._offers(name),
                may_be_new=name in NEW_NAMES,
            )
            for name in self._step.facts
        ]

    def begun_with(self) -> Values:
        """Return what is known from where the form was opened, and one unit."""
        qty = {"qty": "1"} if "qty" in self._step.facts and self._step.kind != "count" else {}
        given = {name: text for name, text in self._given.items() if name in self._step.facts}
        return qty | given

    @property
    def given(self) -> Collection[str]:
        """What is known from where the step was asked for."""
        return self._given

    def kept_besides(self) -> dict[str, str]:
        """Return the key: a draft that is taken up again is still the same step."""
        return {KEY: self._key}

    def take_up(self, draft: Values) -> None:
        """Go on with the key of a draft, or with a new one."""
        self._key = draft.get(KEY) or self.desk.new_key()

    def check(self, values: Values) -> dict[str, str]:
        """Return what is wrong with which line, as far as its text tells."""
        return wrong_texts(values)

    def below(self, line: FormLine) -> Sequence[Content]:
        """Return what may be meant by the line, or what is there of the part once it is known."""
        part = self._part
        if part not in self._site.snapshot.parts:
            return super().below(line)
        if self._card is None or self._card.part != part:
            self._ask_card(part)
            return ()
        is_choosing = line.field.name != "part" and line.value and line.meaning.offered
        return super().below(line) if is_choosing else [said(p) for p in card_lines(self._card)]

    def _ask_card(self, part: str) -> None:
        self._card = None
        self.ask(lambda: self.desk.stock_card(part), self._take_card)

    def _take_card(self, card: StockCard) -> None:
        self._card = card
        if (line := self.line_with_keys) is not None:
            self.tell(line)

    def take(self, values: Values) -> Outcome:
        """Take the step."""
        self._posted = self.desk.post(self._facts(values))
        return Outcome()

    def save(self, values: Values) -> Outcome:
        """Take the step; what it is refused for stands beside its line."""
        try:
            return self.take(values)
        except StepRefused as refused:
            name = field_of(refused.field)
            if name in self._step.facts:
                return Outcome(wrong={name: str(refused)})
            return Outcome(refused=str(refused))
        except UnknownName as unknown:
            return Outcome(wrong={_field_that_names(str(unknown)): str(unknown)})
        except LongpoleError as refused:
            return Outcome(refused=str(refused))

    def _facts(self, values: Values) -> dict[str, Any]:
        facts = facts_of(values, self.desk.today) | {"key": self._key, "kind": self._step.kind}
        if values.get("at"):
            facts["crane"], facts["position"] = self._site.place_named(values["at"])
        return facts

    def finished(self) -> None:
        """Tell what was booked, and have the site read anew."""
        if self._posted is not None:
            self.app.post_message(Booked())
            self.app.switch_screen(BookedScreen(self._posted, self._step.done))

    def _offers(self, name: str) -> Offers | None:
        return {
            "part": self._parts,
            "condition": among(CONDITIONS),
            "to_condition": among(CONDITIONS),
            "over": among(("yes", "no")),
            "store": among(self._site.stores),
            "to_store": among(self._site.stores),
            "at": self._places,
            "order": self._orders,
            "for": self._jobs,
        }.get(name)

    @property
    def _part(self) -> str:
        return self.line("part").value

    def _parts(self, text: str) -> Sequence[Offered]:
        """Parts by the beginning of their number, then whatever else finds them."""
        parts = self._site.snapshot.parts
        begun = [name for name in parts if name.casefold().startswith(text.casefold())][:50]
        found = self._site.parts_found(text) if text and len(begun) < 5 else []
        names = dict.fromkeys([*begun, *found])
        return [Offered(name, parts[name].description or "") for name in names]

    def _places(self, text: str) -> Sequence[Offered]:
        """Positions that hold the part, else any that begin so."""
        return among(self._site.places_of(self._part))(text)

    def _orders(self, text: str) -> Sequence[Offered]:
        rows = self._site.snapshot.orders
        return among([row.order for row in rows if row.part == self._part and not row.received_on])(
            text
        )

    def _jobs(self, text: str) -> Sequence[Offered]:
        rows = self._site.snapshot.reservations
        return among([row.for_ for row in rows if row.part == self._part and not row.released_on])(
            text
        )


def _field_that_names(sentence: str) -> str:
    """The line that an unknown name was typed in."""
    return "part" if sentence.startswith("no part") else "at"
