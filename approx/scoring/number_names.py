"""The numbers that a word gives to a sample."""

from __future__ import annotations

NUMBERS = (
    "words", "words_right",
    "consonants", "consonants_right", "consonants_right_a", "consonants_right_r",
    "vowels", "vowels_right", "vowels_right_r",
    "points", "target_points", "pwp_billionths",
    "wcm_produced", "wcm_target", "ipc_produced", "ipc_target",
    "syllables_matched", "shapes_matched", "stress_matched",
    "early", "early_right", "middle", "middle_right", "late", "late_right",
)  # fmt: skip
"""Names of the numbers a word gives. `points` are those of PMLU; `pwp_billionths` is its own proportion times 1e9."""
