"""The year ahead as pure optimisation: no word of aeroplanes in here."""
