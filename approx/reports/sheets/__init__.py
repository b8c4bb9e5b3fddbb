"""Printed pages: data of each page, and the same page as HTML, PDF or DOCX."""
