"""The one search and what it stands on: forms, applying a rule, contexts, costs, and the proof of a rule."""
