"""Accept: adult forms that are as right as the target, by accent, casual speech and allophones."""
