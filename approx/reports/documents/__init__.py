"""Documents as HTML, DOCX, PDF and lines: one content, four formats."""

__all__ = [
    "analysis_document", "child_report", "comparison_document", "documents", "docx", "evaluation_document", "font_subset", "front_page",
    "html", "picture_fonts", "processes_document", "sample_blocks",
]  # fmt: skip
