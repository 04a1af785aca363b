"""Pages, one module each: pure functions from nouns and answers to blocks."""
