"""Joint replenishment over slots of time: items that come round, set-ups that they share; no word of aeroplanes."""
