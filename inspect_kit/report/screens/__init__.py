"""Answers that fit one screen: what presses, what is never cut, and how to see the rest."""
