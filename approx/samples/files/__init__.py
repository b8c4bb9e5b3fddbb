"""Bytes and workbooks into rows of text, and rows back out so that a spreadsheet changes nothing."""
