"""The listening side of a word list: directions, sorting, matching, and frames to print with cards."""
