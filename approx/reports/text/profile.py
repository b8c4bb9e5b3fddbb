"""What one child has, as a table by place and manner."""

from __future__ import annotations

from approx.child.profile import POSITIONS, Profile, Status
from approx.child.write_profile import said_value
from approx.ipa.features import in_class
from approx.ipa.language import language

_PLACES = ("labial", "dental", "alveolar", "palatal", "velar", "glottal")
_PLACE = {
    "labial": "p b m f v w ʍ β ɸ ɱ", "dental": "θ ð", "alveolar": "t d n s z l ɹ r ɾ ɬ t͡s d͡z",
    "palatal": "ʃ ʒ t͡ʃ d͡ʒ j ʝ ɲ ç ʎ", "velar": "k ɡ ŋ x ɣ", "glottal": "h ʔ ɦ",
}  # fmt: skip
_MANNERS = ("stop", "affricate", "fricative", "nasal", "liquid", "glide")
_MARK: dict[Status, str] = {"established": "", "emerging": "~", "untested": "?", "absent": "-"}
LEGEND = "plain: established   ~ emerging   ? untested   - absent   (a sound not listed in the file is absent)"


def manner_of(sound: str) -> str:
    """Name of the manner row a consonant stands in."""
    if sound in ("h", "ɦ"):
        return "fricative"
    if sound == "ʔ":
        return "stop"
    return next((manner for manner in _MANNERS if in_class(sound, manner)), "other")


def place_column(sound: str) -> str:
    """Name of the place column a consonant stands in."""
    return next((place for place, sounds in _PLACE.items() if sound in sounds.split()), "other")


def consonant_grid(profile: Profile, position: str) -> list[list[str]]:
    """Rows of the table of one position: manner, then the sounds of each place with their status mark.

    Every consonant of the language appears; one the child has beyond it too.
    """
    have = profile.consonants.get(position, {})
    inventory = language(profile.language).consonants
    sounds = [*inventory, *(sound for sound in have if sound not in inventory)]
    rows = []
    for manner in (*_MANNERS, "other"):
        cells = []
        for place in (*_PLACES, "other"):
            here = [s for s in sounds if manner_of(s) == manner and place_column(s) == place]
            cells.append(" ".join(_MARK[have.get(sound, "absent")] + sound for sound in here))
        if any(cells):
            rows.append([manner, *cells])
    columns = [0, *(c for c in range(1, len(_PLACES) + 2) if any(row[c] for row in rows))]
    return [[["", *_PLACES, "other"][c] for c in columns], *([row[c] for c in columns] for row in rows)]


def profile_lines(profile: Profile) -> list[str]:
    """The whole profile as plain lines."""
    age = f", age {profile.age}" if profile.age else ""
    spoken = ", ".join((profile.language, *profile.languages))
    lines = [f"Child {profile.code}{age}, {spoken}"]
    for position in POSITIONS:
        grid = consonant_grid(profile, position)
        widths = [max(len(row[c]) for row in grid) for c in range(len(grid[0]))]
        lines += ["", f"Consonants, {position}"]
        lines += ["  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip() for row in grid]
    clusters = [f"{_MARK[status]}{''.join(run)} {place}" for (run, place), status in profile.clusters.items()]
    lines += ["", f"Clusters: {', '.join(clusters) or 'none'}"]
    lines.append("Vowels: " + (" ".join(_MARK[status] + sound for sound, status in profile.vowels.items()) or "none"))
    lines.append("Shapes: " + (" ".join(_MARK[status] + shape for shape, status in profile.shapes.items()) or "none"))
    lines.append(f"Syllables in a word: up to {profile.max_syllables}; variety: {profile.variety}")
    if profile.chosen:
        lines.append("Chosen forms: " + ", ".join(f"{word} = {form}" for word, form in profile.chosen.items()))
    if profile.heard:
        said = (
            f"{word} = {each.form}" + (f" ({each.date})" if each.date else "") for word, each in profile.heard.items()
        )
        lines.append("Heard: " + ", ".join(said))
    if profile.changes:
        said = (
            f"{' '.join(filter(None, key))} -> {said_value(forms, profile.times.get(key, ()))}"
            for key, forms in profile.changes.items()
        )
        lines.append("What this child says for a sound or cluster, commonest first: " + "; ".join(said))
    return [*lines, "", LEGEND]
