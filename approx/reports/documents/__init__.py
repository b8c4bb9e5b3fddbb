"""Documents as HTML, DOCX, PDF and lines: one content, four formats."""
