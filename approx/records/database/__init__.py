"""The file itself: tables, connection, passphrase, versions, and how a call is refused."""

__all__ = ["browsers", "connection", "locked", "migrations", "opening", "refusals", "schema", "store"]
