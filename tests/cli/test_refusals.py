"""Whatever is refused says what to do next: every refusal in the code, found by reading the code.

The words of each are taken as they stand in the source, with `{...}` where a value comes in. A next step is a command,
an option, the form that is expected, a list to choose from, or something to do. Those that need none stand in NONE,
each with its reason; what only hands a message on stands in HANDED_ON, with where that message comes from.
"""

import ast
import itertools
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import inspect_kit

ROOT = Path(inspect_kit.__file__).parent
REFUSALS = ("Misused", "Refused", "StoreUnreadable", "UsageError")
# What is next: a command or an option, a form, a choice, or a verb that tells the reader to do something.
NEXT = re.compile(
    r"`?inspect-kit |`[a-z]+ --|--[a-z]|did you mean|such as|expected |which of the two|one of the two|\(\w+: \{\}"
    r"|check the disk"
    r"|\b([Ww]rite|[Nn]ame|[Ss]ay|[Gg]ive|[Tt]ake|[Mm]end|[Cc]orrect|[Ss]ave|[Ll]ook|[Rr]un|[Pp]rint|[Ss]ign|[Rr]ead"
    r"|[Cc]hoose|[Ss]top|[Ww]ait|[Mm]ove|[Mm]ake|[Tt]ype|[Cc]lose|[Ll]eave|[Bb]egin)\b (?!of\b)"
)
# Those that need none.
NONE = {
    "{reason(error)}": "the system's own words say what is wrong with the disk, the folder or the permission",
    "{error.strerror}": "the same",
    "is not the name of a file in the store": "no command line leads there: a caller gave a wrong name",
    "is no file of the records": "the same",
    "lies elsewhere: a page is signed from": "the same",
}
# Those that hand a message on, and where that has its own test or form.
HANDED_ON = {
    "{_not_in_it(": "what may have been meant, or `--all`: both of its ways",
    "{_look_for(logbook, name)}": "a command in both of its sentences: test_a_name_that_is_nowhere_says_where_to_look",
    "{_no_item(logbook, answer, item)}": "each of its sentences: test_a_name_that_is_nowhere_says_where_to_look",
    "{fault.message}": "a value that cannot be read: `expected ...`, tests/text",
    "is not withdrawn: {why}": "each reason ends with a command: tests/cli/test_correcting.py",
    "{'\\n'.join((str(fault) for fault in faults))}": "problems of the mapping file, each with its line",
    "{behind}": "the clock: it says to set it",
    "nothing was sealed: {cure}": "both of its callers say how it is corrected",
    "{told}": "`not_so`: both of its callers say how it is taken",
    "nobody answers whether it was so: {otherwise}": "every caller gives an option: test_who_asks_gives_an_option",
    "there can be no plan, because of": "each contradiction comes with its cures: tests/plan",
}


def constants() -> dict[str, str]:
    """Every sentence that stands under a name of its own in some module."""
    found = {}
    for path in ROOT.rglob("*.py"):
        for each in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(each, ast.Assign) and isinstance(each.value, ast.Constant | ast.JoinedStr):
                found |= {target.id: words_of(each.value)[0] for target in each.targets if isinstance(target, ast.Name)}
    return found


def words_of(node: ast.expr) -> list[str]:
    """The words of a message as they stand in the source, `{...}` for a value; each way in which they may be said."""
    match node:
        case ast.Constant(value=str(text)):
            return [text]
        case ast.JoinedStr(values=values):
            ways = [words_of(each.value if isinstance(each, ast.FormattedValue) else each) for each in values]
            return ["".join(each) for each in itertools.product(*ways)]
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            return [one + two for one in words_of(left) for two in words_of(right)]
        case ast.IfExp(body=body, orelse=orelse):
            return [*words_of(body), *words_of(orelse)]
        case ast.BoolOp(op=ast.Or(), values=[*_, last]):
            return words_of(last)
        case ast.Call(func=ast.Attribute(attr="refusal")):
            return ["{} Give it otherwise, or correct first what it contradicts."]
    return ["{" + ast.unparse(node) + "}"]


@cache
def refusals() -> tuple[tuple[str, str], ...]:
    """Found when they are asked: every process of a run collects this file, one or two of them run it."""
    return tuple(_refusals())


def _refusals() -> Iterator[tuple[str, str]]:
    """Every refusal as FILE:LINE and its words; a name is followed to what was assigned to it in the same function."""
    everywhere = constants()
    refuses = re.compile(rf"\b({'|'.join(REFUSALS)})\(")
    for path in sorted(ROOT.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        if not refuses.search(text):
            continue
        lines = text.split("\n")
        for function in ast.walk(ast.parse(text)):
            if not isinstance(function, ast.FunctionDef):
                continue
            if not refuses.search("\n".join(lines[function.lineno - 1 : function.end_lineno])):
                continue
            known = {name: [words] for name, words in everywhere.items()}
            for each in ast.walk(function):
                for target in each.targets if isinstance(each, ast.Assign) else ():
                    if isinstance(target, ast.Name):
                        known[target.id] = words_of(each.value)
            for call in ast.walk(function):
                if isinstance(call, ast.Call) and isinstance(call.func, ast.Name | ast.Attribute) and call.args:
                    name = call.func.id if isinstance(call.func, ast.Name) else call.func.attr
                    if name in REFUSALS:
                        for said in words_of(call.args[0]):
                            for whole in _filled(_filled([said], known), known):
                                yield f"{path.relative_to(ROOT).as_posix()}:{call.lineno}", whole


def _filled(ways: list[str], known: dict[str, list[str]]) -> list[str]:
    """The words with what each name stands for, in each way."""
    for found in set(re.findall(r"\{(?:\w+\.)?(\w+)\}", " ".join(ways))) & set(known):
        name = re.compile(rf"\{{(?:\w+\.)?{found}\}}")
        ways = [name.sub(lambda _, said=said: said, way) for way in ways for said in known[found]]  # type: ignore[misc]
    return list(dict.fromkeys(ways))


def says_what_next(said: str) -> bool:
    """Whether the words that always stand there say it, whatever the values are."""
    return "{near_or_find(" in said or bool(NEXT.search(re.sub(r"\{[^{}]*(\{[^{}]*\}[^{}]*)*\}", "{}", said)))


def test_they_are_found() -> None:
    assert len(refusals()) > 150


def test_whatever_is_refused_says_what_to_do_next() -> None:
    apart = (*NONE, *HANDED_ON)
    wrong = [
        f"{where}: {said}"
        for where, said in refusals()
        if not says_what_next(said) and not any(each in said for each in apart)
    ]
    assert not wrong, "\n".join(wrong)


def test_nothing_stands_apart_that_says_it_by_now() -> None:
    needed = [said for _, said in refusals() if not says_what_next(said)]
    for each in (*NONE, *HANDED_ON):
        assert any(each in said for said in needed), each


@pytest.mark.parametrize(
    ("said", "is_one"),
    [
        ("nothing is due", False),
        ("`{name}` is retired", False),
        ("no check is called `{name}`{did_you_mean(name, known)}", False),
        ("no check is called `{name}`{near_or_find(name, known)}", True),
        ("a name of six letters", False),
        ("nothing is due: name a check", True),
        ("give it with --found CHECK=WHAT", True),
        ("expected METER=READING, not `{word}`", True),
    ],
)
def test_what_counts_as_a_next_step(said: str, is_one: bool) -> None:
    assert says_what_next(said) is is_one
