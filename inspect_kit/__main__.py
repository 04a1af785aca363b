"""The entry point: `inspect-kit`, and `python -m inspect_kit`. Ctrl-C is told in a word from the first moment on."""

import contextlib
import gc
import os
import sys

# A command makes a million values that stay to its end: looking through them again and again finds nothing.
VALUES_UNLOOKED = 5_000_000


def run() -> None:
    """Run one command; whoever interrupts while the program is still being read sees no traceback."""
    gc.set_threshold(VALUES_UNLOOKED)
    try:
        from inspect_kit.cli.main import run_command as command

        code = command()
    except BaseException as fault:
        from inspect_kit.errors import INTERRUPTED, is_interrupt

        if not is_interrupt(fault):
            raise
        code = INTERRUPTED
        sys.stderr.write("\ninterrupted\n")
    leave(code)


def leave(code: int) -> None:
    """End the process at once: all is said and written, and taking a million values apart one by one helps nobody."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError, AttributeError):
            stream.flush()
    os._exit(code)


if __name__ == "__main__":
    run()
