"""What the program says can be read aloud to an inspector: no word that a practitioner or a lawyer strikes.

Common practice, no source: the words were struck by a mechanic and by a reader with an inspector's eye.
"""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import inspect_kit

ROOT = Path(__file__).parents[1]
CODE = Path(inspect_kit.__file__).parent
# A pattern, and what is said instead.
STRUCK = {
    r"\bairworthy\b": "nothing: it is never said of this aircraft",
    r"\bclear: (?!left;)": "later",
    r"never as clear\b": "never as not yet due",
    r"(?i)\bput(s|ting)? (it |them )?right\b": "corrected",
    r"\bSTANDS\b|(?i:standing findings?|findings? (that )?(still )?stands?\b)": "open",
    r"(?i)what stops the aircraft": "reasons on record not to fly",
    r"(?i)\bgiv(e|es|en|ing) (\w+ )?away\b": "lost, or so many days early",
    r"(?i)\b(in sum|nought)\b": "in all, none",
    r"dies on OFF": "stops on OFF",
    r"(?i)\bdoings\b": "times, or what was done",
    r"(?i)print of movement|outer clamped": "witness of movement; cable housing clamped",
    r"(?i)owed before flight +owed before flight": "once",
    r"(?i)\bcleared to fly\b|\bsafe to fly\b|\bmay fly again\b": "nothing: it never decides that an aircraft may fly",
}


def spoken(path: Path) -> Iterator[str]:
    """Every text of a module that may reach a person: its strings, and the help of its commands; no other docstring."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    help_ = path.parent.name == "cli"
    for node in ast.walk(tree):
        if not isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) or ast.get_docstring(node) is None:
            continue
        decorators = node.decorator_list if isinstance(node, ast.FunctionDef) else []
        if not (help_ and any("command" in ast.unparse(each) for each in decorators)):
            node.body = node.body[1:]
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            yield "".join(str(each.value) if isinstance(each, ast.Constant) else "…" for each in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


@cache
def texts() -> dict[str, list[str]]:
    """By file: what the code says, what starter and sample ask, what people see in the golden files, and the README."""
    found = {str(path.relative_to(CODE)): list(spoken(path)) for path in sorted(CODE.rglob("*.py"))}
    pages = [*CODE.glob("starter/**/*.md"), *CODE.glob("starter/**/*.yaml"), *ROOT.glob("checklists/**/*.md")]
    pages += [*ROOT.glob("tests/golden/*.txt"), *ROOT.glob("tests/golden/*.md"), ROOT / "README.md"]
    return found | {str(path): [path.read_text(encoding="utf-8")] for path in pages}


@pytest.mark.parametrize("struck", STRUCK)
def test_no_word_that_is_struck(struck: str) -> None:
    said = [(name, text[:200]) for name, all_ in texts().items() for text in all_ if re.search(struck, text)]
    # The rule that forbids the word in a statement has to name it; what people write as a reason is judged, never said.
    assert [each for each in said if each != ("rules/entry.py", "airworthy") and each[0] != "model/reason.py"] == []


def test_the_scan_finds_what_it_looks_for() -> None:
    """It reads strings in pieces, help of commands and keys of tables."""
    told = "\n".join(each for name in ("found", "finding_named") for each in spoken(CODE / "cli" / f"{name}.py"))
    for words in ("is open", "How it was corrected.", "Raise a finding, clear it, or put it off."):
        assert words in told
    assert "with its code" not in "\n".join(spoken(CODE / "report" / "pages" / "status.py"))
