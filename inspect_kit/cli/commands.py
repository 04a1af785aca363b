"""The commands in the order of the job: where each one stands, and what it does in a line of eighty columns.

A command's module is read when the command is run, or when its own help is asked for: `--version`, the list of commands
and the completion of their names read none of them.
"""

import importlib
import re
from collections.abc import Iterator, MutableMapping

import click
from click.shell_completion import CompletionItem

from inspect_kit.cli.completing import offer_names
from inspect_kit.cli.options import by_todays_names
from inspect_kit.cli.words import refuse_empty, refuse_placeholders
from inspect_kit.errors import InspectKitError

# By name: the module that declares it, by itself or in its own COMMANDS, and the summary.
COMMANDS: dict[str, tuple[str, str]] = {
    "tour": ("setup", "The whole job, shown on a scratch copy of the sample."),
    "new": ("setup", "A store of your own: checklists, aircraft, what is due first."),
    "due": ("ask", "Reasons not to fly, what is past due, what comes next."),
    "plan": ("plans", "Panels off, checks, panels on: in order, by person and clock."),
    "visits": ("visiting", "The months ahead: what together on which visit, what that saves."),
    "start": ("starting", "Start a worksheet, its boxes in the order of the plan."),
    "sheet": ("printing", "The open page, or an inspection to come, on paper for a pen."),
    "walk": ("job", "Step through the open page at the aircraft; each answer is kept."),
    "finding": ("found", "Raise a finding, clear it, or put it off."),
    "helper": ("job", "Write a helper onto the open page."),
    "sign": ("signing", "Say what is missing, or show the statement and seal the record."),
    "hours": ("entries", "Write meter readings down, such as: hours tach=412.6"),
    "work": ("working", "Write down maintenance that needed no page."),
    "install": ("fitted", "A part fitted; what is fitted there already comes out with it."),
    "remove": ("fitted", "A part taken out and nothing fitted instead."),
    "meter": ("fitted", "A meter changed or rolled over."),
    "signature": ("signatures", "Record the signature of a sealed record, in ink or by a key."),
    "import": ("importing", "Take a paper or spreadsheet logbook in, one record a row."),
    "setting": ("telling", "What was set: a dated fact from then on, and a trend."),
    "change": ("telling", "A change of the aircraft: minor or major, and whom you asked."),
    "equipment": ("telling", "What came in or went out, by weight and arm."),
    "weighing": ("weighed", "The aircraft on scales: a question for every wheel."),
    "phase": ("phased", "A flight-test phase: begun, flown in, ended by a statement."),
    "stock": ("telling", "What lies on the shelf, as counted today."),
    "directive": ("telling", "A directive or a letter, and your decision on one product."),
    "search": ("telling", "A search for directives: when, where, for which products."),
    "amend": ("amending", "Correct what a record says, beside it; the record stays."),
    "attach": ("attaching", "Copy photographs, tags and invoices to a page or a record."),
    "withdraw": ("withdrawing", "Take back an entry that nothing rests on yet; it is kept."),
    "report": ("ask", "The signed-off report of a record, and its logbook entry."),
    "scope": ("ask", "Codes of the scope that the checks cover, and those missing."),
    "status": ("ask", "The page to show an inspector or a buyer."),
    "directives": ("life", "Directives and letters by product and serial, what is undecided."),
    "balance": ("life", "Empty weight and CG, the loadings and their limits."),
    "trend": ("life", "What was read over the years, and when a limit will be reached."),
    "parts": ("life", "What the coming visits and the life limits need, by the day."),
    "history": ("ask", "Everything done to a panel, check or position, newest first."),
    "find": ("search", "Where a word stands, in checklists, pages and records."),
    "verify": ("ask", "Read everything, check every seal, list every problem."),
    "handover": ("handing", "All that goes with the aircraft to its next owner, in a folder."),
    "calendar": ("handing", "The due list as a calendar file: one all-day event an item."),
    "export": ("handing", "All records as a table for a spreadsheet, one row each."),
}


# What only answers, or begins by reading, takes what files were read as from the cache (`walk` and `sheet` write no
# record); what writes a record, seals or verifies reads every file anew.
ANSWERS = {
    *("due", "plan", "visits", "walk", "sheet", "report", "scope", "status"),
    *("directives", "balance", "trend", "parts", "history", "find", "calendar", "export"),
}


# An example in a help, and what is said beside it.
_EXAMPLE = re.compile(r"( {2,}\S.*?) {3,}(\S.*)")
_GAP = 3


class Helping(click.HelpFormatter):
    """Help in which what is said beside the examples stands in one column, or below one that leaves it no room.

    An example that is wider than the terminal goes on in a line below, as a shell takes it.
    """

    def write(self, string: str) -> None:
        lines = string.split("\n")
        found = [match.groups() for line in lines if (match := _EXAMPLE.fullmatch(line))]
        beside = [len(typed) for typed, told in found if len(typed) + _GAP + len(told) <= self.width]
        column = max(beside, default=0) + _GAP
        super().write("\n".join(each for line in lines for each in self._within(line, column)))

    def _within(self, line: str, column: int) -> list[str]:
        if not line.startswith("  "):
            return [line]
        match = _EXAMPLE.fullmatch(line)
        typed, told = match.groups() if match else (line, "")
        if told and len(typed) + _GAP <= column and column + len(told) <= self.width:
            return [f"{typed:{column}}{told}"]
        if len(line) <= self.width and not told:
            return [line]
        from inspect_kit.report.measure import continued

        indent = " " * (len(typed) - len(typed.lstrip()))
        shown = [indent + each for each in continued(typed.strip(), self.width - len(indent))]
        below = click.formatting.wrap_text(told, self.width, f"{indent}    ", f"{indent}    ")
        return [*shown, *(below.split("\n") if told else [])]


class Context(click.Context):
    """What a command is run in."""

    formatter_class = Helping


class Commands(MutableMapping[str, click.Command]):
    """The commands by name, each read from its module when it is first asked for."""

    def __init__(self) -> None:
        self._read: dict[str, click.Command] = {}

    def __getitem__(self, name: str) -> click.Command:
        if name not in self._read:
            module = importlib.import_module(f"inspect_kit.cli.{COMMANDS[name][0]}")
            command = next(
                found
                for found in (*vars(module).values(), *getattr(module, "COMMANDS", ()))
                if isinstance(found, click.Command) and found.name == name
            )
            offer_names(command)
            refuse_empty(command)
            command.context_class = Context
            self._read[name] = command
        return self._read[name]

    def __setitem__(self, name: str, command: click.Command) -> None:
        self._read[name] = command

    def __delitem__(self, name: str) -> None:
        del self._read[name]

    def __iter__(self) -> Iterator[str]:
        return iter(COMMANDS)

    def __len__(self) -> int:
        return len(COMMANDS)


def _named_in_store(ctx: click.Context, word: str) -> str:
    """What to type for what a store has a name for, where a command was expected; "" where it has none."""
    from inspect_kit.cli.called import CHECK, PANEL, POSITION, id_meant, noun_of_id

    folders = ctx.params.get("folders") or (None,)
    ctx.obj.folder = folders[0]
    try:
        logbook = ctx.obj.logbook()
        name = id_meant(logbook, word, CHECK, PANEL, POSITION)
    except InspectKitError:
        return ""
    if not (noun := noun_of_id(logbook, name)):
        return ""
    ways = f"`inspect-kit work {name}` writes it down, `inspect-kit due {name}` says when it is due"
    history = f"`inspect-kit history {name}` shows what was done there"
    return f"`{name}` is a {noun}, no command: {ways if noun == CHECK else history}"


# What people type for what happened, each with the command that writes it down.
MEANT = {
    **dict.fromkeys(("fit", "fitted", "replace", "swap"), "install POSITION"),
    **dict.fromkeys(("unfit", "uninstall"), "remove POSITION"),
    **dict.fromkeys(("fly", "flight", "flown", "log"), "hours METER=READING"),
    **dict.fromkeys(("puncture", "repair", "maintenance", "did", "done"), 'work --text "what was done"'),
    **dict.fromkeys(("defect", "fault", "damage"), 'finding "what was found"'),
    **dict.fromkeys(("correct", "edit"), "amend RECORD"),
    **dict.fromkeys(("delete", "undo"), "withdraw RECORD"),
    "print": "sheet --to FILE",
}


def _meant(word: str) -> str:
    """The command that may have been meant by a word that is none; "" where none is near."""
    from inspect_kit.text.grammar import nearest

    near = MEANT.get(word.casefold()) or nearest(word.casefold(), COMMANDS)
    return f"`{word}` is no command: did you mean `inspect-kit {near}`?" if near else ""


class InOrder(click.Group):
    """Lists the commands in the order of the job, not of the alphabet, without reading them."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return [*COMMANDS]

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        try:
            name, command, words = super().resolve_command(ctx, args)
        except click.UsageError:
            if told := _named_in_store(ctx, args[0]):
                raise click.UsageError(told, ctx) from None
            if told := _meant(args[0]):
                raise click.UsageError(told, ctx) from None
            raise
        words = by_todays_names(name or "", words)
        if command is not None:
            refuse_placeholders(ctx, command, words)
        return name, command, words

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, summary) for name, (_, summary) in COMMANDS.items()])

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        named = [CompletionItem(name, help=told) for name, (_, told) in COMMANDS.items() if name.startswith(incomplete)]
        return [*named, *click.Command.shell_complete(self, ctx, incomplete)]
