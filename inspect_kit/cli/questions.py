"""A question for every fact that a command was not given, asked again after an answer that cannot be."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

import click

from inspect_kit.cli.kept_answers import OPEN, SAME
from inspect_kit.cli.said import (
    BACK,
    WentBack,
    asked,
    files_changed,
    forget_answer,
    go_back,
    say,
    typed_before,
)
from inspect_kit.errors import Misused
from inspect_kit.noun import dataclass
from inspect_kit.text.grammar import Unreadable


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked where the option `name` was not given; `read` takes the words, and says what is wrong with them.

    What need not be known may be answered with Enter alone; `default` is then taken, or nothing, which
    `otherwise` says in words. `stands` is whether the default holds too where nobody is there to take it; `once` that
    no other question has these words; `repeats` that `read` knows what `=` is.
    """

    name: str
    words: str
    read: Callable[[str], Any] = str
    required: bool = False
    default: str = ""
    otherwise: str = "not known"
    stands: bool = True
    once: bool = True
    repeats: bool = False


def answers(given: Mapping[str, str | None], questions: Iterable[Question]) -> dict[str, Any]:
    """The values by name: given ones read, the others asked; `<` asks the one before again. None for the unknown.

    Misused for an option that cannot be read, and for a required fact when the input has ended; what else nobody
    answered is said.
    """
    questions = [*questions]
    found: dict[str, Any] = dict.fromkeys(question.name for question in questions)
    # What was given is read first: who has answered five questions is not told then that an option was wrong.
    for question in questions:
        if words := given.get(question.name):
            try:
                found[question.name] = question.read(words)
            except Unreadable as fault:
                raise Misused(f"--{question.name}: {fault.message}") from None
        elif words is not None and question.default:
            # An empty answer is Enter.
            found[question.name] = question.read(question.default)
    unanswered: list[str] = []
    for question in questions:
        if given.get(question.name) is None:
            found[question.name], ended = _ask(question, bool(unanswered))
            if ended and not (question.default and question.stands):
                # What a person would have taken with Enter is told with its option.
                unanswered.append(question.words if question.stands else f"{question.words} (--{question.name})")
        if question.required and found[question.name] is None:
            raise Misused(f"`{question.words}` has no answer: give it with --{question.name}")
    if unanswered:
        say(f"Nobody answers; not known: {'; '.join(unanswered)}", err=True)
    return found


def _on_the_line(question: Question) -> str:
    """What says the same where the command is typed, such as `--where WORDS`; "" where nothing does."""
    if question.repeats:
        return f"{question.name}=READING"
    context = click.get_current_context(silent=True)
    name, _, form = question.name.partition(" ")
    for option in context.command.params if context is not None else ():
        if f"--{name}" in option.opts and context is not None:
            return f"--{name} {form or option.make_metavar(context)}"
    return ""


def _ask(question: Question, ended: bool) -> tuple[Any, bool]:
    """The answer, and whether the input has ended."""
    # Enter keeps what was typed before somebody went back.
    default = (typed_before(question.words) if question.once else "") or question.default
    usual = default or ("" if question.required else question.otherwise)
    hint = f" (Enter: {usual})" if usual else ""
    while not ended:
        typed = asked(f"{question.words}{hint}", default="", err=True)
        if typed is None:
            break
        if typed.strip() == BACK:
            go_back()
            continue
        words = " ".join(typed.split()) or default
        if words == "?" and (option := _on_the_line(question)):
            forget_answer()
            say(f"  on the line of the command it is {option}", err=True)
            continue
        if words == SAME and not question.repeats and default:
            words = default
        if words == OPEN and not default:
            words = ""
        if words == OPEN or (words == SAME and not question.repeats):
            forget_answer()
            say(f"  `{words}` is no answer here: say it{', or Enter' if usual else ''}", err=True)
            continue
        if not words:
            if not question.required:
                return None, False
            forget_answer()
            say("  this must be answered", err=True)
            continue
        try:
            found = question.read(words)
            if words.isdecimal() and isinstance(found, str) and found != words:
                # A number out of a list says nothing: what it stands for is shown.
                say(f"  {found}", err=True)
            return found, False
        except (Unreadable, Misused) as fault:
            if files_changed():
                # What it names may have been written meanwhile: the command reads the store anew, with all answers.
                raise WentBack from None
            forget_answer()
            say(f"  {fault.message if isinstance(fault, Unreadable) else fault}", err=True)
    return (question.read(question.default) if question.default and question.stands else None), True
