"""Documents as HTML, DOCX, PDF and lines: one content, four formats."""

__all__ = ["child_report", "documents", "docx", "font_subset", "html", "pdf", "sample_page"]
