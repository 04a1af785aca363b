"""Whatever is typed behind a command: an answer or a sentence, never a fault of the program, and nothing acts.

Every parameter of every command gets odd words, on a store with an open page.
"""

import random
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from inspect_kit.cli.main import COMMANDS, cli
from tests.cli.conftest import Run
from tests.store.asking import acting

ODD = (
    *("", " ", "\u00a0", "\u200b", "\u202e", "\x1b[2J", "\ud800", "\n", "a\nb", "\t", "x" * 5000, "💥", "ä", "é\u0301"),
    *("=", "a=", "=b", "tach", "tach=", "tach= ", "tach=x", "tach==1", "tach=1e9", "tach=-1", "tach=12,5", "tach=١٢"),
    *("tach=405.6", "tach=9999999999999999", "Tach=405.6", "oil", "Oil", "oil=31.5.2031", "oil=", "oil=2031-05-31"),
    *("31.5.2031", "2026-11-25", "2026-13-01", "0000-00-00", "9999-12-31", "2199-12-31", "yesterday", "5.11.2026"),
    *("F1", "F2", "f1", "F0", "F99999999999", "x#F1", "#F1", "2026-09-01-past#F1", "condition", "work", "cowl", "zz"),
    *("..", "../../x", "/", ".", "-", "records/aircraft.yaml", "records/2026/2026-09-01-past.yaml", "/dev/full"),
    *(";", ";;", ",", "a,", "[a]", "[", "{date}", "%s", "${x}", "`x`", "*", "\\", "'", '"', "- [x] `a` b", "- "),
    *("by 2027-01-31", "by 9999 h", "at next annual inspection", "at next condition inspection", "before flight"),
    *("0", "1", "-1", "1.5", "1e400", "nan", "99999999999999999999", "10 h", "10h", "0 h", "Saturday 09:00-12:00"),
    *("Saturday 12:00-09:00", "2026-11-28 25:00-26:00", "news,walking", "none", "full", "170", "170,,150", "1 lb"),
    *("Ada Bellcrank", "ada  bellcrank", "Nobody", "same", "repairman", "x.html", "x.md", "x.txt", "x.pdf"),
    *("nowhere/x.md", "____", "____ 5", "F1 crack", "found: crack"),
)
# What a command needs to get as far as looking at the odd word; a parameter not named here is left out.
BASE: dict[str, dict[str, tuple[str, ...]]] = {
    "start": {"words": ("oil",), "only": ("--only",)},
    "finding": {"where": ("compression",), "text": ("a crack",)},
    "sign": {"signer": ("--as", "Ada Bellcrank")},
    "hours": {"words": ("tach=405.6",)},
    "work": {"words": ("oil",)},
    "signature": {"ink": ("--ink", "log p. 4")},
    "history": {"name": ("oil",)},
    "meter": {"name": ("tach",)},
    "plan": {"names": ("oil",), "only": ("--only",)},
    "new": {"folder": ("new-store",)},
}
# Walking is asked by tests of its own; the tour and the year ahead take no words that change what they do.
LEFT_OUT = ("tour", "walk")
# Of each parameter as many odd words, drawn by its name; each word for some.
EACH = 14


def parameters() -> Iterator[tuple[str, str]]:
    for command in COMMANDS:
        for each in command.params:
            takes_words = not (isinstance(each, click.Option) and each.is_flag)
            if command.name not in LEFT_OUT and takes_words:
                yield command.name or "", each.name or ""


def typed(command: str, parameter: str, word: str) -> list[str]:
    """The words of a command line with one odd word in the place of a parameter."""
    noun = next(each for each in COMMANDS if each.name == command)
    base = BASE.get(command, {})
    options, arguments = [], []
    for each in noun.params:
        said = list(base.get(each.name or "", ()))
        if each.name == parameter:
            said = [each.opts[0], word] if isinstance(each, click.Option) else [word]
        (options if isinstance(each, click.Option) else arguments).extend(said)
    return [command, *options, "--", *arguments] if arguments else [command, *options]


@pytest.fixture
def paged(run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A store with a page on which a finding stands; the current folder is beside it."""
    assert run(hangar, "start", "oil", "elt", "--only", "tach=405.6", "--by", "Ada Bellcrank").code == 0
    assert run(hangar, "finding", "oil", "a drop at the drain").code == 0
    monkeypatch.chdir(hangar.parent)
    return hangar


def faults(run: Run, root: Path, words: list[str]) -> Iterator[str]:
    # Bytes that are no text come from the shell as lone surrogates, so they are given as such.
    outcome = run(root, *words, typed=("Ada Bellcrank",))
    if outcome.code not in (0, 1, 2, 3):
        yield f"{words} exits {outcome.code}: {outcome.err[-200:]}"
    if "Traceback" in outcome.err + outcome.out:
        yield f"{words} shows a traceback"
    if marks := acting(outcome.out + outcome.err):
        yield f"{words} says {marks}"


@pytest.mark.parametrize(("command", "parameter"), [*parameters()])
def test_every_parameter_with_odd_words(run: Run, paged: Path, command: str, parameter: str) -> None:
    words = random.Random(f"{command} {parameter}").sample(ODD, EACH)
    found = [fault for word in words for fault in faults(run, paged, typed(command, parameter, word))]
    assert found == []
    # The store is still one that can be read, apart from what was entered.
    assert run(paged, "due").code == 0


@pytest.mark.parametrize("option", ["--store", "--on"])
def test_the_options_of_the_program_itself(run: Run, paged: Path, option: str) -> None:
    found = []
    for word in ODD:
        outcome = run(None, option, word, "due")
        if outcome.code not in (0, 2, 3) or acting(outcome.out + outcome.err):
            found.append((word, outcome))
    assert found == []


def test_no_command_is_forgotten() -> None:
    assert {command.name for command in COMMANDS} == set(cli.commands)
