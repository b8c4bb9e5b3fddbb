"""English words to pronunciations: lists and the dictionary first, then words built from known ones, spelling rules last."""
