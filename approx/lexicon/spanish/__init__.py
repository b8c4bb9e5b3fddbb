"""Spanish spelling to broad IPA with stress and syllables."""

__all__ = ["letters"]
