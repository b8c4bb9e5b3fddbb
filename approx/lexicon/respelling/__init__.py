"""Plain spelling for families, written from IPA and read back."""
