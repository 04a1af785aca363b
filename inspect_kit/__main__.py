"""The entry point: `inspect-kit`, and `python -m inspect_kit`. Ctrl-C is told in a word from the first moment on."""

import gc
import sys

INTERRUPTED = 130
# A command makes a million values that stay to its end: looking through them again and again finds nothing.
VALUES_UNLOOKED = 5_000_000


def run() -> None:
    """Run one command; whoever interrupts while the program is still being read sees no traceback."""
    gc.set_threshold(VALUES_UNLOOKED)
    try:
        from inspect_kit.cli.main import run_command as command

        code = command()
    except KeyboardInterrupt:
        code = INTERRUPTED
        sys.stderr.write("\ninterrupted\n")
    sys.exit(code)


if __name__ == "__main__":
    run()
