"""Plain spelling for families, written from IPA and read back."""

__all__ = ["respelling"]
