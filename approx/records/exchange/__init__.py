"""A caseload out of the file and in again, as plain tables in a zip."""
