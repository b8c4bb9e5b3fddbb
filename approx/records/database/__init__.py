"""The file itself: tables, connection, passphrase, versions, and how a call is refused."""

__all__ = [
    "browsers",
    "connection",
    "daily_copy",
    "erasing",
    "locked",
    "migrations",
    "opening",
    "refusals",
    "schema",
    "store",
]
