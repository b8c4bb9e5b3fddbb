"""Typed IPA into sounds, features, syllables and words, and back; imports only the data files of ours."""

from approx.ipa.reading import Reading, ReadingChange
from approx.ipa.symbols import read, segments
from approx.ipa.word import Segment, Syllable, Word

__all__ = ["ReadingChange", "Reading", "Segment", "Syllable", "Word", "read", "segments"]
