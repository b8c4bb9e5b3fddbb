"""The command line: one thin file a topic. Data on stdout, everything else on stderr."""

from approx.cli.main import main

__all__ = ["main"]
