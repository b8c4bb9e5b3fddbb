"""The notation of a rule: `A -> B / C _ D`, as handbooks of phonology write it (Chomsky & Halle 1968; from memory).

Items, set apart by blanks:
  s t͡ʃ          a sound            {s z}         one of these sounds; two sets in a row match pairwise: {s z} -> {t d}
  [+son -cont]  a feature bundle   C V stop ...  consonant, vowel, or a class of rules/ipa/classes.toml
  [αvoi]        a Greek letter agrees with the same letter elsewhere in the rule
  C1 V1 σ2      a number names what was matched, to be written again on the right
  σ             a whole syllable; σ[-stress] without stress, σ[+main] with the main stress, σ[+onset] with a
                first consonant; stress also for vowels: [+syl -stress]
  # . ∅ ...     word edge, syllable edge, nothing, any stretch of sounds
On the right a bundle changes those features and takes the nearest sound of the language that has them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache

from approx.ipa import features as ft

_ITEM = re.compile(r"->|\.\.\.|[#._/∅]|(σ\d?(?:\[[^\]]*\])?)|\[[^\]]*\]\d?|\{[^}]*\}\d?|[^\s#._/∅{}\[\]]+")
_STRESS = ("stress", "main", "onset")
_GREEK = "αβγδ"


class NotationError(ValueError):
    """A rule that cannot be read: the message says what and where in the rule."""


@dataclass(frozen=True, slots=True)
class Item:
    """One item of a rule. `kind`: sound, class, set, bundle, syllable, edge, cut, gap or nothing."""

    kind: str
    text: str
    name: str = ""
    sounds: tuple[str, ...] = ()
    bundle: tuple[tuple[int, int], ...] = ()
    agree: tuple[tuple[str, int], ...] = ()
    stress: tuple[tuple[str, bool], ...] = ()
    binds: bool = False
    """True if stress, agreement or a number has to be looked at beside the sound itself."""
    known: dict[str, bool] = field(default_factory=dict, compare=False, repr=False)

    def fits(self, phone: str) -> bool:
        """True if the sound is one this item names, stress and agreement aside."""
        found = self.known.get(phone)
        if found is None:
            found = self.known[phone] = self._fits(phone)
        return found

    def _fits(self, phone: str) -> bool:
        if self.kind == "set":
            return phone in self.sounds
        if self.kind == "sound":
            return phone == self.text
        if self.kind == "class":
            return ft.in_class(phone, self.text) and not (self.text == "consonant" and ft.is_nucleus(phone))
        return ft.has(phone, self.bundle)

    def stressed_as(self, degree: int, onset: bool = False) -> bool:
        """True if a syllable of this stress degree (0, 1 main, 2), with or without onset, has what the item asks."""
        has = {"main": degree == 1, "stress": degree > 0, "onset": onset}
        return all(has[what] is wanted for what, wanted in self.stress)


@dataclass(frozen=True, slots=True)
class ParsedRule:
    """A parsed rule: what is replaced, by what, between what."""

    focus: tuple[Item, ...]
    result: tuple[Item, ...]
    left: tuple[Item, ...]
    right: tuple[Item, ...]
    of_syllables: bool = field(init=False, compare=False, repr=False)
    """True where whole syllables change."""
    far: bool = field(init=False, compare=False, repr=False)
    """True where a context reaches over any stretch of sounds."""
    outward: tuple[Item, ...] = field(init=False, compare=False, repr=False)
    """The left context from the focus outward."""
    bound: bool = field(init=False, compare=False, repr=False)
    """True where the result depends on what a number or a Greek letter stands for."""

    def __post_init__(self) -> None:
        # asked at every step of a search: found once
        set_ = object.__setattr__
        set_(self, "of_syllables", any(item.kind == "syllable" for item in (*self.focus, *self.result)))
        set_(self, "far", any(item.kind == "gap" for item in (*self.left, *self.right)))
        set_(self, "outward", self.left[::-1])
        set_(self, "bound", any(item.name or item.agree for item in self.result))


@cache
def parse(text: str) -> ParsedRule:
    """Read one rule. NotationError says what is wrong with it."""
    tokens = [match[0] for match in _ITEM.finditer(text)]
    if re.sub(r"\s", "", "".join(tokens)) != re.sub(r"\s", "", text):
        raise NotationError(f"cannot read all of '{text}'")
    if tokens.count("->") != 1:
        raise NotationError(f"'{text}' needs one arrow: A -> B / C _ D")
    arrow = tokens.index("->")
    slash = tokens.index("/") if "/" in tokens else len(tokens)
    context = tokens[slash + 1 :]
    if context and context.count("_") != 1:
        raise NotationError(f"the context of '{text}' needs one _ where the change stands")
    gap = context.index("_") if context else 0
    focus = _items(tokens[:arrow])
    result = _items(tokens[arrow + 1 : slash])
    left, right = _items(context[:gap]), _items(context[gap + 1 :])
    return _checked(ParsedRule(focus, result, left, right), text)


def _items(tokens: list[str]) -> tuple[Item, ...]:
    return tuple(item for item in map(_item, tokens) if item.kind != "nothing")


def _item(token: str) -> Item:
    fixed = {"#": "edge", ".": "cut", "...": "gap", "∅": "nothing"}.get(token)
    if fixed:
        return Item(fixed, token)
    if token.startswith("σ"):
        number = token[1:2] if token[1:2].isdigit() else ""
        wanted = token[1 + len(number) :]
        return Item("syllable", token, number and "σ" + number, stress=_bundle(wanted)[2] if wanted else ())
    body, name = (token[:-1], token) if token[-1].isdigit() and len(token) > 1 else (token, "")
    if body.startswith("{"):
        return Item("set", body, name, sounds=tuple(map(_sound, body.strip("{} ").split())), binds=bool(name))
    if body.startswith("["):
        bundle, agree, stress = _bundle(body)
        return Item(
            "bundle", body, name, bundle=bundle, agree=agree, stress=stress, binds=bool(name or agree or stress)
        )
    named = {"C": "consonant", "V": "vowel"}.get(body, body)
    if named in ft.classes():
        return Item("class", named, name, binds=bool(name))
    return Item("sound", _sound(body), name, binds=bool(name))


def _sound(text: str) -> str:
    if ft.features(text) is None:
        from difflib import get_close_matches

        near = (
            ["ɡ (U+0261)"] if text == "g" else ["ɹ"] if text == "r" else get_close_matches(text, ft.classes(), 2, 0.6)
        )
        hint = f"; write {' or '.join(near)}" if near else ""
        raise NotationError(f"'{text}' is neither a sound nor a class of rules/ipa/classes.toml{hint}")
    return text


def _bundle(text: str) -> tuple[tuple[tuple[int, int], ...], tuple[tuple[str, int], ...], tuple[tuple[str, bool], ...]]:
    plain, agree, stress = [], [], []
    for word in text.strip("[] ").split():
        sign, feature = word[0], word[1:]
        if feature in _STRESS and sign in "+-":
            stress.append((feature, sign == "+"))
        elif sign in _GREEK and feature in ft.FEATURES:
            agree.append((sign, ft.FEATURES.index(feature)))
        elif sign in "+-0" and feature in ft.FEATURES:
            plain.append(word)
        else:
            known = " ".join(ft.FEATURES)
            raise NotationError(f"'{word}' is not a feature with its sign; features: {known} stress main onset")
    return ft.parse_bundle(" ".join(plain)) if plain else (), tuple(agree), tuple(stress)


def _checked(change: ParsedRule, text: str) -> ParsedRule:
    """Refuse what could never apply or could not be carried out."""
    if not change.focus and not change.result:
        raise NotationError(f"'{text}' changes nothing into nothing")
    names = {item.name for item in (*change.focus, *change.left, *change.right) if item.name}
    for number, item in enumerate(change.result):
        at_focus = change.focus[number] if number < len(change.focus) else None
        if item.name and item.name in names:
            continue
        if item.kind in ("edge", "gap", "class"):
            raise NotationError(f"'{item.text}' cannot be the result of a change in '{text}'")
        if item.name and item.name not in names:
            raise NotationError(f"'{item.name}' in '{text}' names nothing on the left")
        if item.kind == "set" and (at_focus is None or len(at_focus.sounds) != len(item.sounds)):
            raise NotationError(f"the two sets in '{text}' are not of one length")
        if item.kind == "bundle" and not item.name and at_focus is None:
            raise NotationError(f"'{item.text}' in '{text}' has no sound to change")
    if change.of_syllables and any(item.kind == "syllable" and not item.name for item in change.result):
        raise NotationError(f"a syllable written in '{text}' needs its number, such as σ1")
    if change.of_syllables and any(i.kind not in ("syllable", "cut") for i in (*change.focus, *change.result)):
        raise NotationError(f"'{text}' mixes syllables and sounds in what changes")
    return change
