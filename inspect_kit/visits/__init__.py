"""The year ahead, due and plan together: which items on which visit, and what is worth doing while it is open."""

from inspect_kit.late import fetch_late

fetch_late(__name__, __file__)
