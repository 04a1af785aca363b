"""The only room that touches the disk: finding a store, reading it whole, writing to it safely, sealing, checking."""

from inspect_kit.late import fetch_late

fetch_late(__name__, __file__)
