"""Nouns: frozen values whose constructors refuse nonsense."""
