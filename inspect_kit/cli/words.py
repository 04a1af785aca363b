"""An empty word between quotes names nothing: `withdraw "$RECORD"` where the shell knows no RECORD meant the newest."""

import re
import shlex
from collections.abc import Iterable, Sequence
from itertools import pairwise
from pathlib import PurePath

import click
from click.core import ParameterSource
from click.shell_completion import CompletionItem

from inspect_kit.cli.options import SHARED
from inspect_kit.cli.typed import PaperType

TYPED = ParameterSource.COMMANDLINE
EMPTY = "a word is empty (a variable that the shell does not know gives that): say what is meant"

UNEXPECTED = "Got unexpected extra argument"


class Word(click.ParamType[object]):
    """A word of a command line: looked at as it was typed, then taken as its own type takes it."""

    def __init__(self, own: click.ParamType[object]) -> None:
        self.own, self.name = own, own.name

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> object:
        given = ctx is not None and param is not None and ctx.get_parameter_source(param.name or "") is TYPED
        if given and value == "":
            raise click.UsageError(EMPTY, ctx)
        if given and ctx is not None and param is not None and _is_to_be_written(str(value), param, ctx.command):
            raise click.UsageError(f"{UNEXPECTED} ({value})", ctx)
        return self.own.convert(value, param, ctx)

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        return self.own.shell_complete(ctx, param, incomplete)


def refuse_empty(command: click.Command) -> None:
    """Let every argument of a command refuse a word that was typed and is empty."""
    for param in command.params:
        if isinstance(param, click.Argument):
            param.type = Word(param.type)


# What stands in a line of help for something of one's own. Where words are sought each may be one of them.
PLACEHOLDER = re.compile(r"[A-Z][A-Z-]{2,}")
SEEKING = "find"


def refuse_placeholders(ctx: click.Context, command: click.Command, words: Sequence[str]) -> None:
    """UsageError for a line that was typed as it was offered: `--permit WORDS` came to stand in a record."""
    if command.name == SEEKING:
        return
    own = [each.metavar or "" for each in command.params if isinstance(each, (click.Argument, click.Option))]
    known = {*PLACEHOLDER.findall(" ".join([*own, *(str(told.get("metavar")) for _, told in SHARED.values())]))}
    for before, word in pairwise(["", *words]):
        if word == "--":
            return
        name, _, value = word.rpartition("=")
        if value not in known:
            continue
        name = name if name.startswith("--") else before
        told = [each.help for each in command.params if isinstance(each, click.Option) and name in each.opts]
        meant = f": {told[0]}" if told and told[0] else ""
        raise click.UsageError(f"{value} in `{word}` stands for something of your own: write that there{meant}", ctx)


def _to(command: click.Command) -> click.Parameter | None:
    """The option that says where an answer is written, where a command has one."""
    return next((each for each in command.params if "--to" in each.opts), None)


def _endings(target: click.Parameter) -> tuple[str, ...]:
    return tuple(target.type.endings) if isinstance(target.type, PaperType) else ()


def _is_to_be_written(word: str, param: click.Parameter, command: click.Command) -> bool:
    """Whether a word that a command takes is a file that it would write: a page or a record has another ending."""
    target = _to(command)
    written = {*_endings(target)} - {".md"} if target is not None else set()
    # Among words that are sought a name may be one of them.
    return PurePath(word).suffix in written and (param.nargs == 1 or "/" in word)


def refuse_unexpected(ctx: click.Context, words: Sequence[str]) -> None:
    """UsageError for a word too many behind the command, before anything is asked: the answers would be lost."""
    _, unexpected, _ = ctx.command.make_parser(ctx).parse_args([*words])
    if unexpected and not ctx.allow_extra_args:
        raise click.UsageError(f"{UNEXPECTED}{'s' if unexpected[1:] else ''} ({' '.join(map(str, unexpected))})", ctx)


def line_meant(misuse: click.UsageError, typed: Iterable[str]) -> str:
    """How a command with a word too many is typed: where the answer is written stands behind --to; "" where no word
    says that.
    """
    more = re.fullmatch(rf"{UNEXPECTED}s? \((.+)\)", misuse.message)
    if more is None or misuse.ctx is None or (target := _to(command := misuse.ctx.command)) is None:
        return ""
    endings, words = _endings(target), [*typed]
    for word in more[1].split():
        suffix = PurePath(word).suffix
        is_path = "/" in word and not suffix
        if word not in words or not (suffix in endings or is_path or not endings):
            continue
        at = len(words) - 1 - words[::-1].index(word)
        named = f"{word}{endings[0]}" if endings and not suffix else word
        flags = [each.opts[0] for each in command.params if each.required and getattr(each, "is_flag", False)]
        said = [*words[:at], *(flag for flag in flags if flag not in words), "--to", named, *words[at + 1 :]]
        return f"; where an answer is written stands behind --to: inspect-kit {shlex.join(said)}"
    return ""
