"""One token: right or wrong sound by sound, structure, complexity; and the whole numbers that add up over tokens."""
