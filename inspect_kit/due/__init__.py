"""Arithmetic of limits and use: what is due and when it will fall due. Knows neither disk nor law."""

from inspect_kit.late import fetch_late

fetch_late(__name__, __file__)
