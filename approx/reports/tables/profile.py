"""What one child can say as rows: a row a sound, cluster, shape."""

from __future__ import annotations

from collections.abc import Iterator

from approx.child.profile import POSITIONS, Profile

PROFILE_COLUMNS = ("code", "kind", "item", "position", "status")


def profile_rows(profile: Profile) -> Iterator[tuple[str, str, str, str, str]]:
    """Consonants by position, clusters, vowels, syllable shapes."""
    for position in POSITIONS:
        for sound, status in profile.consonants.get(position, {}).items():
            yield profile.code, "consonant", sound, position, status
    for (run, place), status in profile.clusters.items():
        yield profile.code, "cluster", "".join(run), place, status
    for kind, table in (("vowel", profile.vowels), ("shape", profile.shapes)):
        for item, status in table.items():
            yield profile.code, kind, item, "", status
