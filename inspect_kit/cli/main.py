"""The command line: `inspect-kit [--store DIR] [--on DATE] COMMAND`. One error boundary for all commands."""

import datetime as dt
import io
import os
import re
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stdout
from functools import partial
from pathlib import Path

import click

from inspect_kit.cli.commands import ANSWERS, Commands, InOrder
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import by_todays_names
from inspect_kit.cli.said import say, with_back
from inspect_kit.cli.shown import at_both_ends
from inspect_kit.cli.streams import Lost, open_missing, sound
from inspect_kit.cli.typed import DATE
from inspect_kit.cli.words import UNEXPECTED, line_meant, refuse_unexpected
from inspect_kit.errors import (
    FAULT,
    INTERRUPTED,
    NO,
    UNREADABLE,
    USAGE,
    InspectKitError,
    Misused,
    ProgramFault,
    StoreUnreadable,
    is_interrupt,
)

# What a word processor or a telephone makes of hyphens.
NO_HYPHENS = (*"\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d",)
DASHES = "".join(NO_HYPHENS) + "-"
HELP = ("-h", "--help")
# What can be asked of several aircraft at once, with `--store` repeated.
OF_SEVERAL = ("due", "status")
# What talks with somebody all the time.
AT_THE_KEYS = ("tour", "new", "walk")


@click.group(
    cls=InOrder,
    commands=Commands(),
    invoke_without_command=True,
    context_settings={"help_option_names": [*HELP], "max_content_width": 100},
)
@click.version_option(package_name="inspect_kit", message="%(prog)s %(version)s")
@click.option(
    "--store",
    "folders",
    type=click.Path(path_type=Path),
    metavar="DIR",
    multiple=True,
    help="The store; found upwards from the current folder if not given. For `due` and `status` it may be repeated.",
)
@click.option(
    "--on",
    "on",
    type=DATE,
    metavar="DATE",
    help="In questions it stands in for today; in entries it is the date of the work, never in the future.",
)
@click.option("--no-pager", is_flag=True, help="Long answers run through, without a pager.")
@click.pass_context
def cli(ctx: click.Context, folders: tuple[Path, ...], on: dt.date | None, no_pager: bool) -> int:
    """Keep the condition inspection of an amateur-built aeroplane: what is due, the plan, the page, the sealed record.

    The tool organises an inspection; it neither performs nor approves one. The aircraft's operating limitations,
    makers' instructions, current rules and appropriately certificated people decide.
    """
    desk: Desk = ctx.obj
    if len(folders) > 1 and ctx.invoked_subcommand not in OF_SEVERAL:
        raise click.UsageError(f"`{ctx.invoked_subcommand or 'inspect-kit'}` works on one aircraft: name one --store")
    desk.folder, desk.given_on = (folders[0] if folders else None), on
    desk.folders = folders if len(folders) > 1 else ()
    desk.keeps = ctx.invoked_subcommand is None or ctx.invoked_subcommand in ANSWERS
    command = ctx.invoked_subcommand
    if command not in AT_THE_KEYS:
        desk.signs.begin(command or "inspect-kit", asks=not (desk.keeps or command == "verify"))
    if command is not None:
        return 0
    from inspect_kit.cli.ask import first

    return first(desk)


def today() -> dt.date:
    """The clock's date here."""
    return dt.date.today()


def main(arguments: list[str] | None = None) -> int:
    """Run one command and give its exit code; whatever goes wrong is told in a sentence on standard error."""
    with sound() as signs, _help_by_pages(sys.argv[1:] if arguments is None else arguments):
        desk = Desk(folder=None, given_on=None, today=today(), signs=signs)
        return _ran(desk, arguments)


@contextmanager
def _help_by_pages(words: Sequence[str]) -> Iterator[None]:
    """Help that is longer than the screen goes through the pager like every answer, with somebody at both ends."""
    asked = any(word in words for word in HELP) and "--no-pager" not in words
    if not (asked and at_both_ends()):
        yield
        return
    held = io.StringIO()
    with redirect_stdout(held):
        yield
    import shutil

    if held.getvalue().count("\n") < shutil.get_terminal_size().lines:
        sys.stdout.write(held.getvalue())
    else:
        os.environ.setdefault("LESS", "-RFX")
        click.echo_via_pager(held.getvalue())


def _ran(desk: Desk, arguments: list[str] | None) -> int:
    try:
        _somewhere()
        for word in sys.argv[1:] if arguments is None else arguments:
            # What is no text cannot be written down, and every name in a store is text.
            if any("\ud800" <= mark <= "\udfff" for mark in word):
                raise Misused(f"`{word}` is not text in UTF-8: type it anew")
            if word[:1] in NO_HYPHENS and re.fullmatch(rf"[{''.join(NO_HYPHENS)}]+-?[a-z][a-z-]*(=.*)?", word):
                raise Misused(f"`{word}` begins with a dash that is no hyphen: write --{word.lstrip(DASHES)}")
        run = partial(_asked_what, desk, sys.argv[1:] if arguments is None else arguments)
        outcome: object = with_back(run, lambda: bool(desk.written), desk.stamps)
        if desk.written:
            from inspect_kit.cli.consequences import tell_consequences

            tell_consequences(desk)
        return outcome if isinstance(outcome, int) else 0
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    except (click.Abort, KeyboardInterrupt):
        return _interrupted(desk)
    except Lost as lost:
        if not lost.is_closed_pipe:
            say(f"inspect-kit: the answer could not be written out: {lost}; {desk.so_far()}", err=True)
        return 0 if lost.is_closed_pipe else UNREADABLE
    except click.ClickException as misuse:
        if isinstance(misuse, click.UsageError) and misuse.ctx is not None:
            say(f"{misuse.ctx.get_usage()}\nTry '{misuse.ctx.command_path} --help' for help.\n", err=True)
        typed = sys.argv[1:] if arguments is None else arguments
        told = _before_the_command(misuse) or _wants(misuse, typed) or misuse.format_message()
        say(f"Error: {told}{_too_many(misuse, typed)}", err=True)
        return USAGE
    except ProgramFault as fault:
        return _fault(desk, fault)
    except InspectKitError as error:
        say(f"inspect-kit: {error}", err=True)
        _say_written(desk, error.code == UNREADABLE)
        # What is not found may stand in a file that cannot be read: then it is the store, not the question.
        return UNREADABLE if desk.told and error.code in (NO, USAGE) else error.code
    except MemoryError:
        say("inspect-kit: the memory is full", err=True)
        _say_written(desk, True)
        return UNREADABLE
    except Exception as fault:
        return _interrupted(desk) if is_interrupt(fault) else _fault(desk, fault)


def _asked_what(desk: Desk, typed: Sequence[str]) -> object:
    """Run one command; what it is about is asked where the line does not say it."""
    words = [*typed]
    while True:
        try:
            return cli.main(args=[*words], prog_name="inspect-kit", standalone_mode=False, obj=desk)
        except click.MissingParameter as missing:
            from inspect_kit.cli.missing_words import words_for

            _refuse_unexpected(missing, words)
            words += words_for(desk, missing)


def _refuse_unexpected(missing: click.MissingParameter, words: Sequence[str]) -> None:
    if missing.ctx is not None and missing.ctx.parent is not None:
        _, behind, _ = cli.make_parser(missing.ctx.parent).parse_args([*words])
        refuse_unexpected(missing.ctx, by_todays_names(behind[0], behind[1:]))


def _somewhere() -> None:
    """A terminal may stand in a folder that was removed meanwhile; then no path means anything."""
    try:
        os.getcwd()
    except OSError as error:
        raise StoreUnreadable("the current folder is not there any more: type `cd` and one that is") from error


def _before_the_command(misuse: click.ClickException) -> str:
    """Where an option belongs that stands behind the command and is one of all commands."""
    if not isinstance(misuse, click.NoSuchOption) or misuse.ctx is None or misuse.ctx.command is cli:
        return ""
    known = next((option for option in cli.params if misuse.option_name in option.opts), None)
    if known is None:
        return ""
    value = f" {known.metavar}" if known.metavar else ""
    how = f"inspect-kit {known.opts[0]}{value} {misuse.ctx.info_name} ..."
    return f"{misuse.option_name} stands before the command: {how}"


def _wants(misuse: click.ClickException, typed: Sequence[str]) -> str:
    """What an option wants behind it that stands there alone."""
    if not isinstance(misuse, click.BadOptionUsage) or "an argument" not in misuse.message:
        return ""
    # The parser of options does not say whose they are.
    command = next((cli.commands[word] for word in typed if word in cli.commands), cli)
    named = (each for each in command.params if misuse.option_name in each.opts)
    option = next((each for each in named if isinstance(each, click.Option)), None)
    if option is None:
        return ""
    told = f"{misuse.option_name} wants {option.make_metavar(click.Context(command))} behind it"
    return f"{told}: {option.help} Words stand in quotes." if option.help else told


def _too_many(misuse: click.ClickException, typed: Sequence[str]) -> str:
    """How a line is typed that has a word too many: a file to be written, or words of one name."""
    more = re.fullmatch(rf"{UNEXPECTED}s? \((.+)\)", misuse.message)
    if more is None or not isinstance(misuse, click.UsageError) or misuse.ctx is None:
        return ""
    if told := line_meant(misuse, typed):
        return told
    taken = [each.name for each in misuse.ctx.command.params if isinstance(each, click.Argument)]
    first = misuse.ctx.params.get(taken[-1] or "") if taken else None
    if not isinstance(first, str):
        return ""
    return f'; words of one name stand in quotes: {misuse.ctx.command_path} "{first} {more[1]}"'


def _say_written(desk: Desk, nothing_too: bool = False) -> None:
    """What a command had written before it failed; with `nothing_too` also that it was to write and has not."""
    if desk.written:
        say(f"Written before that: {', '.join(desk.written)}", err=True)
    elif nothing_too and desk.was_to_write:
        say("Nothing was written.", err=True)


def _interrupted(desk: Desk) -> int:
    click.echo(err=True)
    say(f"interrupted; {desk.so_far()}", err=True)
    return INTERRUPTED


def _fault(desk: Desk, fault: BaseException) -> int:
    """Tell a fault of the program in a way that can be reported, without a traceback in the user's face."""
    import traceback

    where = traceback.extract_tb(fault.__traceback__)
    place = f" ({Path(where[-1].filename).name}:{where[-1].lineno})" if where else ""
    say(f"inspect-kit: a fault of the program{place}: {type(fault).__name__}: {fault}", err=True)
    _say_written(desk)
    say("Nothing was written after it. Please report this line with the command you gave.", err=True)
    return FAULT


def run_command() -> int:
    """One command as the system starts it; its exit code."""
    open_missing()
    return main()
