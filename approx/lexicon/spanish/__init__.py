"""Spanish spelling to broad IPA with stress and syllables."""
