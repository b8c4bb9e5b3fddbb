"""Typed IPA into sounds, features, syllables and words, and back; imports only the data files of ours."""

from approx.ipa.reader import IpaReader, read, reader_of, segments
from approx.ipa.reading import Reading, ReadingChange
from approx.ipa.word import Segment, Syllable, Word

__all__ = ["IpaReader", "ReadingChange", "Reading", "Segment", "Syllable", "Word", "read", "reader_of", "segments"]
