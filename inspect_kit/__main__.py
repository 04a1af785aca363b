"""`python -m inspect_kit` does what `inspect-kit` does."""

from inspect_kit.cli.main import run

run()
