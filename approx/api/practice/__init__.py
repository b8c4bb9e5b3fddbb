"""What a child can be asked to say: one child, suggestions, words, phrases, pages to print."""
