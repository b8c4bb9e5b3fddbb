"""One cell: a form, several attempts, marks of doubt and omission, dates and ages."""
