"""Typed IPA into sounds, features, syllables and words, and back; imports only the data files of ours."""

from approx.ipa.reading import Change, Reading
from approx.ipa.symbols import read, segments
from approx.ipa.word import Segment, Syllable, Word

__all__ = ["Change", "Reading", "Segment", "Syllable", "Word", "read", "segments"]
