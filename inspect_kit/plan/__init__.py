"""What to open, in which order, with whom; with a bound, and a checker that shares no code with the search."""

from inspect_kit.late import fetch_late

fetch_late(__name__, __file__)
