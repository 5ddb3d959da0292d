"""What a typed text finds, in which order, and why.

What is called exactly so comes first, then what begins so, then what holds every word. Only when
nothing of that is found is the text taken more loosely: its words cut at every mark and without
leading zeros, run together, as a text that holds a number, and last with one slip of the keys.
Every text is literal; what is beyond `LONGEST` characters is left away, and said to be.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from parts.calc.finding.folding import loose_words_of, spellings, without_zeros, words_of
from parts.calc.finding.index import Index, label_words
from parts.calc.finding.lines import Mask
from parts.calc.finding.near import LEAST_LETTERS
from parts.calc.finding.things import Label, Thing
from parts.records.find_answers import FindAnswer, Hit, Rank
from parts.records.shown import folded

LONGEST = 200
LEAST_OF_A_NUMBER = 5
"""A shorter number may stand in any sentence by chance."""
COMPARED = 500
"""Of more things called the same no finer order is told."""
WORDS_JOINED = 40
"""Of more words than these no number is put together."""

# Tiers, the best first: those before BEGINS are exact, by the thing's own name or by another one.
OWN_AS_WRITTEN, AS_WRITTEN, OWN_BUT_FOR_MARKS, BUT_FOR_MARKS, BUT_FOR_ZEROS = range(5)
BEGINS, WORDS_BEGIN, WORDS_HELD, LOOSELY, IN_TEXT, NEAR, NOT_FOUND = range(5, 12)
_RANKS = {BEGINS: Rank.BEGINS, WORDS_BEGIN: Rank.CONTAINS, WORDS_HELD: Rank.CONTAINS,
          LOOSELY: Rank.CONTAINS, IN_TEXT: Rank.CONTAINS, NEAR: Rank.NEAR}  # fmt: skip
TRIED = (
    "names and numbers that are, begin with or hold what was typed, whatever the case, marks, "
    "accents and leading zeros",
    "its words one by one and run together",
    "numbers that stand within it",
)
TRIED_NEAR = "one letter or digit too many, missing, wrong or exchanged with its neighbour"
Tiers = NDArray[np.int8]
_HAS_DIGIT = re.compile("[0-9]")


def find(index: Index, text: str, most: int) -> FindAnswer:
    """Return the first hits for a text, at most `most` of them."""
    search = _Search(index, text[:LONGEST])
    tiers = search.tiers()
    found = np.flatnonzero(tiers < NOT_FOUND)
    order = np.argsort(tiers[found], kind="stable")[: max(0, most)]
    hits = tuple(search.hit(at, int(tiers[at])) for at in found[order].tolist())
    tried = list(TRIED) if search.keys and not len(found) else []
    if tried and max(map(len, search.keys)) >= LEAST_LETTERS:
        tried.append(TRIED_NEAR)
    if len(text) > LONGEST:
        tried.append(f"only the first {LONGEST} characters were looked for")
    return FindAnswer(text, hits, len(found), tuple(tried))


class _Search:
    """One text against an index."""

    def __init__(self, index: Index, text: str) -> None:
        self._index = index
        self._text = folded(text)
        self.keys = spellings(text)
        self._words = _longest_first(words_of(text))
        self._loose = loose_words_of(text)
        self._guessed: dict[int, str] = {}

    def tiers(self) -> Tiers:
        """Return how well each thing answers."""
        tiers = np.full(len(self._index.things), NOT_FOUND, np.int8)
        if not self.keys or not len(tiers):
            return tiers
        self._plainly(tiers)
        for attempt in (self._loosely, self._in_text, self._near):
            if (tiers < NOT_FOUND).any():
                break
            attempt(tiers)
        return tiers

    def _plainly(self, tiers: Tiers) -> None:
        anywhere, as_begin = self._holding(self._words)
        tiers[anywhere] = WORDS_HELD
        tiers[as_begin] = WORDS_BEGIN
        for key in self.keys:
            tiers[self._index.beginning(key)] = BEGINS
        for key in self.keys:
            same = self._index.named(key)
            tiers[same] = BUT_FOR_ZEROS
            for at in same[:COMPARED].tolist():
                tiers[at] = self._exactness(self._index.things[at])

    def _exactness(self, thing: Thing) -> int:
        own, *_ = names = thing.labels
        if self._is_written(own):
            return OWN_AS_WRITTEN
        if any(map(self._is_written, names)):
            return AS_WRITTEN
        if self._is_but_for_marks(own):
            return OWN_BUT_FOR_MARKS
        return BUT_FOR_MARKS if any(map(self._is_but_for_marks, names)) else BUT_FOR_ZEROS

    def _is_written(self, label: Label) -> bool:
        return folded(label.text) == self._text

    def _is_but_for_marks(self, label: Label) -> bool:
        return spellings(label.text)[:1] == self.keys[:1]

    def _holding(self, words: Sequence[str]) -> tuple[Mask, Mask]:
        """Return what holds every word, and what has a word beginning with each."""
        size = len(self._index.things)
        anywhere, as_begin = np.ones(size, np.bool_), np.ones(size, np.bool_)
        for word in words:
            held = self._index.words.holding(word)
            anywhere &= held.anywhere
            as_begin &= held.as_begin
            if not anywhere.any():
                break
        return anywhere, as_begin

    def _loosely(self, tiers: Tiers) -> None:
        loose = _longest_first(map(without_zeros, self._loose))
        if loose != self._words:
            tiers[self._holding(loose)[0]] = LOOSELY
        for key in self.keys:
            tiers[self._index.run_together.holding(key).anywhere] = LOOSELY

    def _in_text(self, tiers: Tiers) -> None:
        """Find the numbers that a stamp or a sentence holds among other things."""
        for key in self._keys_inside:
            tiers[self._index.named(key)] = IN_TEXT

    @cached_property
    def _keys_inside(self) -> set[str]:
        words = self._loose[:WORDS_JOINED]
        runs = (words[first:end] for first, end in combinations(range(len(words) + 1), 2))
        texts = (" ".join(run) for run in runs if sum(map(len, run)) >= LEAST_OF_A_NUMBER)
        return {key for text in texts if _HAS_DIGIT.search(text) for key in spellings(text)}

    def _near(self, tiers: Tiers) -> None:
        self._guess(tiers, self.keys[0], None)
        if len(self._words) > 1 and not self._guessed:
            for word in self._words:
                others = self._holding([each for each in self._words if each != word])[0]
                if others.any():
                    self._guess(tiers, word, others)

    def _guess(self, tiers: Tiers, word: str, within: Mask | None) -> None:
        for guess in self._index.vocabulary.near(word):
            held = self._index.words.holding(f" {guess} ").anywhere
            if within is not None:
                held &= within
            tiers[held] = NEAR
            for at in np.flatnonzero(held).tolist():
                self._guessed.setdefault(at, guess)

    def hit(self, at: int, tier: int) -> Hit:
        """Put a thing that was found into words."""
        thing = self._index.things[at]
        rank = _RANKS.get(tier, Rank.EXACT)
        why = self._why(thing, tier, at)
        return Hit(thing.kind, thing.name, thing.description, thing.opens, why, rank)

    def _why(self, thing: Thing, tier: int, at: int) -> str:
        if tier == NEAR:
            word = self._guessed[at]
            return f"perhaps {_said(_holding_all(thing.labels, [word]))}, one slip apart"
        if tier == IN_TEXT:
            typed = self._keys_inside
            inside = (each for each in thing.labels if typed & set(spellings(each.text)))
            return f"{next(inside).said} stands in what was typed"
        if tier <= BEGINS:
            label = next(each for each in thing.labels if self._matches(each, tier))
            zeros = tier == BUT_FOR_ZEROS and not self._is_but_for_marks(label)
            return label.said + (", but for zeros" if zeros else "")
        if tier == LOOSELY:
            run = next((each for each in thing.labels if self._runs_in(each)), None)
            if run is not None:
                return run.said
        words = self._words if tier < LOOSELY else [without_zeros(each) for each in self._loose]
        return _said(_holding_all(thing.labels, words) or thing.labels[:1])

    def _runs_in(self, label: Label) -> bool:
        together = "".join(label_words(label))
        return any(key in together for key in self.keys)

    def _matches(self, label: Label, tier: int) -> bool:
        if tier in (OWN_AS_WRITTEN, AS_WRITTEN):
            return self._is_written(label)
        if tier in (OWN_BUT_FOR_MARKS, BUT_FOR_MARKS):
            return self._is_but_for_marks(label)
        keys = spellings(label.text)
        if tier == BEGINS:
            return any(key.startswith(self.keys) for key in keys)
        return not set(self.keys).isdisjoint(keys)


def _longest_first(words: Iterable[str]) -> tuple[str, ...]:
    """Return the words once each; a long one leaves the fewest things for the others."""
    return tuple(sorted(dict.fromkeys(words), key=len, reverse=True))


def _holding_all(labels: Sequence[Label], words: Sequence[str]) -> tuple[Label, ...]:
    """Return the label that holds all words, else for each word the first that holds it."""
    texts = {label: f" {' '.join(label_words(label))} " for label in labels}
    for label, text in texts.items():
        if all(word in text for word in words):
            return (label,)
    first = (next((each for each in labels if word in texts[each]), None) for word in words)
    return tuple(dict.fromkeys(label for label in first if label is not None))


def _said(labels: Sequence[Label]) -> str:
    return " and ".join(label.said for label in labels)
