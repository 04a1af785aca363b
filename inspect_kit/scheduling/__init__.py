"""Scheduling of activities under precedence, people, gear and hours; knows nothing of aircraft."""
