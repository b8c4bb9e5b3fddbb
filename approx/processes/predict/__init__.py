"""Predict: how this child, at the rates of a sample, will likely say a word, and what to probe next."""
