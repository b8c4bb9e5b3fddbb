"""Accept: adult forms that are as right as the target, by accent, casual speech and allophones."""

__all__ = ["accept", "accept_rules"]
