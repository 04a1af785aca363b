"""The entry point: `inspect-kit`, and `python -m inspect_kit`. Ctrl-C is told in a word from the first moment on."""

import sys

INTERRUPTED = 130


def run() -> None:
    """Run one command; whoever interrupts while the program is still being read sees no traceback."""
    try:
        from inspect_kit.cli.main import run as command

        code = command()
    except KeyboardInterrupt:
        code = INTERRUPTED
        sys.stderr.write("\ninterrupted\n")
    sys.exit(code)


if __name__ == "__main__":
    run()
