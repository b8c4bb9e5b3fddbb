"""The same numbers for many words at once, worked out in arrays."""

__all__ = ["fast_align", "form_arrays", "pair_arrays", "score_table", "word_links"]
