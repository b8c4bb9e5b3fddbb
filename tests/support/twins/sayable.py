"""What a form asks for and what a child's file gives, straight from their texts: the slow and obvious twin of demands and limits."""

from __future__ import annotations

from approx.ipa import read
from approx.ipa.word import Word

POSITIONS = ("initial", "medial", "final")


def needs(form: str, language: str = "en-US") -> set[tuple[str, ...]]:
    """All that a form asks for, straight from its text."""
    word: Word = read(form, language).words[0]
    out: set[tuple[str, ...]] = {("length", str(len(word.syllables)))}
    count, vowels = 0, [at for at, segment in enumerate(word.segments) if segment.is_vowel]
    for syllable in word.syllables:
        out.add(("shape", syllable.shape))
        for part in (syllable.onset, syllable.nucleus, syllable.coda):
            places = []
            for segment in part:
                if segment.is_vowel:
                    out.add(("vowel", segment.text))
                else:
                    place = (
                        "initial" if not vowels or count < vowels[0] else "final" if count > vowels[-1] else "medial"
                    )
                    places.append(place)
                    out.add(("consonant", segment.text, place))
                count += 1
            if len(part) > 1 and not part[0].is_vowel:
                out.add(("cluster", "".join(segment.text for segment in part), places[0]))
    consonants = {segment.text for segment in word.segments if not segment.is_vowel}
    if len(consonants) > 1:
        out.add(("variety", "same consonant"))
    if len({tuple(s.text for s in (*y.onset, *y.nucleus, *y.coda)) for y in word.syllables}) > 1:
        out.add(("variety", "same"))
    return out


def has(table: dict[str, object]) -> set[tuple[str, ...]]:
    """All that a child's file gives, straight from its TOML."""
    consonants: dict = table.get("consonants", {})  # type: ignore[assignment]
    syllables: dict = table.get("syllables", {})  # type: ignore[assignment]
    out: set[tuple[str, ...]] = {("length", str(n)) for n in range(1, syllables.get("max_syllables", 9) + 1)}
    for position in POSITIONS:
        part = consonants.get(position, consonants.get("all", {}))
        out |= {("consonant", sound, position) for sound in part.get("established", "").split()}
    for entry in consonants.get("clusters", []):
        run, *rest = entry.split()
        out |= {("cluster", run, position) for position in rest or POSITIONS}
    vowels = set(table.get("vowels", {}).get("established", "").split())  # type: ignore[attr-defined]
    if vowels & {"ʌ", "ə"}:
        vowels |= {"ʌ", "ə"}  # one vowel by stress
    out |= {("vowel", sound) for sound in vowels}
    out |= {("shape", shape) for shape in syllables.get("established", [])}
    variety = syllables.get("variety", "any")
    free = {"any": ("same", "same consonant"), "same consonant": ("same",), "same": ("same consonant",)}[variety]
    return out | {("variety", kind) for kind in free}
