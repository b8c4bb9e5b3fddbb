"""The counts and figures of scoring for many words at once, worked out in arrays. `counted_groups` is the way in: the number of pairs decides."""
