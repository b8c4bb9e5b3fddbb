"""Predict: how this child, at the rates of a sample, will likely say a word, and what to probe next."""

__all__ = ["forms", "predict", "probe", "rates", "replay", "sites"]
