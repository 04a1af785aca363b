"""An empty word between quotes names nothing: `withdraw "$RECORD"` where the shell knows no RECORD meant the newest."""

import click
from click.core import ParameterSource
from click.shell_completion import CompletionItem

TYPED = ParameterSource.COMMANDLINE
EMPTY = "a word is empty (a variable that the shell does not know gives that): say what is meant"


class Word(click.ParamType[object]):
    """A word of a command line: looked at as it was typed, then taken as its own type takes it."""

    def __init__(self, own: click.ParamType[object]) -> None:
        self.own, self.name = own, own.name

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> object:
        given = ctx is not None and param is not None and ctx.get_parameter_source(param.name or "") is TYPED
        if given and value == "":
            raise click.UsageError(EMPTY, ctx)
        return self.own.convert(value, param, ctx)

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        return self.own.shell_complete(ctx, param, incomplete)


def refuse_empty(command: click.Command) -> None:
    """Let every argument of a command refuse a word that was typed and is empty."""
    for param in command.params:
        if isinstance(param, click.Argument):
            param.type = Word(param.type)
