"""How useful a word is likely to be to a child, and how that is said. Numbers: `rules/words.toml`."""

from __future__ import annotations

from approx.practice.word_weights import needed, use_weights


def use_of(
    word: str, part_of_speech: str, category: str, frequency: float | None, own: bool = False, bank: str = "en"
) -> float:
    """Adult-text frequency between two ends (0 to 1), weighed by part of speech and everyday category.

    What a child needs to say all day counts more, and so do the clinician's own words, which were chosen. `bank`: "en"
    or "es". Adult text says little about children's words, so what is above the upper end counts alike.
    """
    w = use_weights()
    if own:
        return w.own_list
    if is_needed(word, bank):
        return w.needed
    share = w.unknown if frequency is None else (frequency - w.lowest_zipf) / (w.highest_zipf - w.lowest_zipf)
    kind = w.part_of_speech.get(part_of_speech, 1.0) * w.category.get(category, 1.0)
    return min(max(share, 0.0), 1.0) * kind


def is_needed(word: str, bank: str) -> bool:
    """True for a word of the list of what a child needs to say all day."""
    return word in needed(bank) or word.lower() in needed(bank)


def use_reason(word: str, frequency: float | None, own: bool, bank: str) -> str:
    """The use of a word in plain words, with its frequency and where that was counted."""
    if own:
        return "on your own list"
    lead = "needed all day, " if is_needed(word, bank) else ""
    if frequency is None:
        return f"{lead}no frequency known"
    w = use_weights()
    third = (w.highest_zipf - w.lowest_zipf) / 3
    grade = ("seldom", "sometimes", "often")[min(max(int((frequency - w.lowest_zipf) / third), 0), 2)]
    return f"{lead}{grade} used (zipf {frequency:.1f} in adult text)"
