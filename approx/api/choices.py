"""What can be chosen, for the lists of a page: the values that the public functions take for an option."""

from __future__ import annotations

from collections.abc import Mapping


def accents() -> tuple[str, ...]:
    """Varieties that `accents` of `score` may name."""
    from approx.processes.accept.accept_rules import accent_names

    return accent_names()


def word_orders() -> tuple[str, ...]:
    """Values of `order` of `words`."""
    from approx.practice.words.word_weights import sound_orders

    return tuple(order.name for order in sound_orders())


def word_kinds(language: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Everyday categories and parts of speech of the word bank of a language; none where it has no bank."""
    from approx.practice.words.word_bank import load_bank

    bank = load_bank(language)
    return tuple(sorted({word.category for word in bank})), tuple(sorted({word.part_of_speech for word in bank}))


def phrase_relations(language: str) -> tuple[tuple[str, str], ...]:
    """(name, what for) of each `relation` of `phrases`; none in a language without phrases."""
    from approx.practice.grammar.recipes import relations
    from approx.practice.grammar.set_phrases import RELATION

    if not _has_phrases(language):
        return ()
    return (*((each.id, each.use) for each in relations(language)), (RELATION, ""))


def grammar_orders(language: str) -> Mapping[str, object]:
    """Values of `order` of `phrases`, the usual one first, each with its steps."""
    from approx.practice.phrases.grammar_ladder import step_orders

    return step_orders(language) if _has_phrases(language) else {}


def trial_orders() -> tuple[str, ...]:
    """Values of `order` of a session's page."""
    from approx.practice.session.trial_order import ORDERS

    return tuple(ORDERS)


def _has_phrases(language: str) -> bool:
    from approx.lexicon.spelling import base_language
    from approx.practice.grammar.phrase_words import PHRASE_LANGUAGES

    return base_language(language) in PHRASE_LANGUAGES
