"""The desk: local pages over the caseload. A thin face; everything that is computed comes from the packages below.

`approx.web.app.desk_app` makes the application, `approx.web.serve.serve` runs it on this computer alone.
"""
