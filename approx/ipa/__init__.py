"""Typed IPA into sounds, features, syllables and words, and back. Imports nothing of ours but the data files."""

from approx.ipa.symbols import Change, Reading, read, segments
from approx.ipa.word import Segment, Syllable, Word

__all__ = ["Change", "Reading", "Segment", "Syllable", "Word", "read", "segments"]
