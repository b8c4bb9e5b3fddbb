"""approx: what a young child can say today, and the way back up to the adult word."""

__version__ = "0.1.0"
