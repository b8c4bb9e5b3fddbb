"""A caseload out of the file and in again, as plain tables in a zip."""

__all__ = ["archive", "export", "import_", "portable"]
