"""Practice: what to work on with one child, from single words to phrases, sessions and comparisons of samples."""
