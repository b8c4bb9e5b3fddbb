"""What rules can see around a sound: for every place, how each context of the rules fits there.

A rule of one sound asks only what stands around it. Where a context fits in the same way, and binds the same sounds, the
rule makes the same of the same sound: what is found out in one place holds in all others alike.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence

from approx.processes.engine.apply import match_at
from approx.processes.engine.form import Form
from approx.processes.rules.notation import Item, ParsedRule
from approx.processes.rules.rule import Rule

Fit = Hashable
"""How a context fits: None where it does not, else the sounds it binds."""
_KEPT = 100_000
_HERE = Item("sound", "_")
"""Stands for the sound itself, as it does in a written rule."""


class Contexts:
    """The contexts of some rules of one sound, and the kinds of places met so far."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        sides = list(dict.fromkeys((rule.change.left, rule.change.right) for rule in rules))
        self._contexts = [ParsedRule((_HERE,), (_HERE,), left, right) for left, right in sides]
        self.context_of = {rule.id: sides.index((rule.change.left, rule.change.right)) for rule in rules}
        # what the sound itself shares with others is no matter of what stands around it
        self.whole = any(map(_asks_of_itself, rules))
        # stress and syllable cuts are no matter of the sounds alone
        self._of_syllables = any(map(_asks_of_syllables, self._contexts))
        self._somewhere = list(map(_somewhere, self._contexts))
        far = any(change.far for change in self._contexts)
        self._left = None if far else max((len(change.left) for change in self._contexts), default=0)
        self._right = None if far else max((len(change.right) for change in self._contexts), default=0)
        self._kinds: dict[tuple[Fit, ...], tuple[Fit, ...]] = {}
        self._known: dict[Hashable, tuple[Fit, ...]] = {}

    def fits(self, form: Form, at: int) -> tuple[Fit, ...]:
        """How each context fits around a place, by number of context; equal answers are one object."""
        key: Hashable
        if self.whole or self._left is None or self._right is None:
            around = form.phones if self.whole else (*form.phones[:at], _HERE.text, *form.phones[at + 1 :])
            key = (around, form.starts, form.stress, at) if self.whole or self._of_syllables else (around, at)
        else:
            low, high = max(0, at - self._left), at + 1 + self._right
            key = form.phones[low:at], form.phones[at + 1 : high], self._cuts(form, at, low, high)
        found = self._known.get(key)
        if found is None:
            if len(self._known) > _KEPT:
                self._known.clear()
            kind = (key,) * len(self._contexts) if self.whole else self._look(form, at)
            found = self._known[key] = self._kinds.setdefault(kind, kind)
        return found

    def _cuts(self, form: Form, at: int, low: int, high: int) -> tuple[tuple[int, int], ...]:
        """Where syllables begin on a stretch, counted from a place in it, with their stress; () where no context asks."""
        if not self._of_syllables:
            return ()
        spans = zip(form.starts, (*form.starts[1:], len(form.phones) + 1), form.stress)
        return tuple([(max(start, low) - at, degree) for start, end, degree in spans if start <= high and end > low])

    def _look(self, form: Form, at: int) -> tuple[Fit, ...]:
        """How each context fits, whatever the sound itself is."""
        before, after = form.phones[:at][::-1], form.phones[at + 1 :]
        around = form._replace(phones=(*form.phones[:at], _HERE.text, *after))
        return tuple(
            [
                _nearest(item, after if ahead else before) if item else _bound(change, around, at)
                for change, (item, ahead) in zip(self._contexts, self._somewhere)
            ]
        )


def _somewhere(change: ParsedRule) -> tuple[Item | None, bool]:
    """The one sound that a context asks for anywhere on one side, and whether that is after the place; None where it asks for
    more."""
    left, right = change.left, change.right
    if not _asks_of_syllables(change):
        if len(right) == 2 and right[0].kind == "gap" and not left:
            return right[1], True
        if len(left) == 2 and left[1].kind == "gap" and not right:
            return left[0], False
    return None, False


def _bound(change: ParsedRule, around: Form, at: int) -> Fit:
    """How a context fits at a place."""
    bound = match_at(change, around, at)
    return None if bound is None else tuple(sorted(bound.items()))


def _nearest(item: Item, phones: tuple[str, ...]) -> Fit:
    """How a sound somewhere on one side fits: the first one that does, from the place outward."""
    if item.kind == "edge":
        return ()
    phone = next(filter(item.fits, phones), None)
    return None if phone is None else ((item.name, phone),) if item.name else ()


def _asks_of_syllables(change: ParsedRule) -> bool:
    """True for a context that asks where syllables begin, or for their stress."""
    return any(item.kind == "cut" or bool(item.stress) for item in (*change.left, *change.right))


def _asks_of_itself(rule: Rule) -> bool:
    """True for a rule that asks more of the sound than which it is, or of its context than that sound by sound."""
    change = rule.change
    if any(item.agree for item in (*change.left, *change.right)):
        return True
    return any(item.stress or item.agree or item.name for item in change.focus)
