"""Verbs on a worksheet: start it, walk it, measure, find, clear, say what is missing, make it a record."""
