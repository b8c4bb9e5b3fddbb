"""The caseload: children, their profiles, samples, chosen forms, sessions, trials, probes and notes in one file.

`approx.records.caseload.open_caseload` opens it; everything that goes in or comes out is a frozen row of
`approx.records.database.rows`. Nothing is imported here, so that a command which keeps no records starts as quickly as before.
"""
