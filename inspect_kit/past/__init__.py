"""The past comes in: a table that a spreadsheet saved, read as entries of a paper logbook."""

from inspect_kit.late import fetch_late

fetch_late(__name__, __file__)
