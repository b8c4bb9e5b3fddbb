"""The desk as a server: who may ask, the open caseload, how a page is made, what a form brought."""
