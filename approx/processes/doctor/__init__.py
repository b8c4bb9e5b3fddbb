"""The check-up of `rules/` and of a clinician's own rule folder: everything that is wrong, in one run."""
