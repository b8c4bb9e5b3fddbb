"""One function a published measure, bands, and how sure a figure is."""

__all__ = ["accuracy", "bands", "breakdown", "catalogue", "intervals", "variability", "whole_word"]
