"""The file itself: tables, connection, passphrase, versions, and how a call is refused."""
