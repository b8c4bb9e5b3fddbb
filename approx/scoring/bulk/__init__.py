"""The counts and figures of scoring for many words at once, worked out in arrays. `counted_groups` is the way in: the number of pairs decides."""

__all__ = [
    "chosen_pairs", "counted_groups", "fast_align", "form_arrays", "group_measures", "group_slots", "interval_arrays",
    "pair_arrays", "score_table", "word_links",
]  # fmt: skip
