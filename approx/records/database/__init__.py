"""The file itself: tables, connection, passphrase, versions, and how a call is refused."""

__all__ = [
    "browsers",
    "connection",
    "daily_copy",
    "copies",
    "locked",
    "migrations",
    "opening",
    "refusals",
    "schema",
    "store",
]
