"""Which column of a table is which, whatever its order, case and wording."""
