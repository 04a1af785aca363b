"""The README's lines as a person types them: each block of commands, with what is asked and what is answered there.

A block that begins with a command is typed, in the folder where the one before it ended. A line that is indented more
is `question: answer` for the command above it; an answer that is empty is Enter,
` ... ` what is left out of a question. `k3f9` and `k3f9qx` stand for what
differs in every store: the code in the name of the entry that was just written, and that of the sheet.
A block that begins with a comment that is a path is a file, to be written there.
"""

import re
import shlex
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMAND = re.compile(r"(inspect-kit|cd|git|cp|mv) ")
FILE = re.compile(r"# ((?:checklists|records)/\S+\.(?:yaml|md)|\S+\.csv)")


@dataclass(frozen=True)
class Typed:
    """One line as typed, with the (question, answer) pairs below it."""

    line: str
    answers: list[tuple[str, str]] = field(default_factory=list)


@dataclass(frozen=True)
class Block:
    """An indented block, and the words of the paragraph before it."""

    text: str
    before: str

    @property
    def typed(self) -> list[Typed]:
        """The commands of the block; none where it is no block of commands."""
        found: list[Typed] = []
        for line in self.text.splitlines() if COMMAND.match(self.text) else ():
            if line.startswith("  "):
                question, _, answer = line.strip().rpartition(":")
                found[-1].answers.append((question, answer.strip()))
            elif line.strip():
                found += [Typed(each.strip()) for each in line.split(" && ")]
        return found

    @property
    def file(self) -> str:
        """The path that a file's first line names; "" where the block is no file."""
        match = FILE.fullmatch(self.text.partition("\n")[0])
        return match.group(1) if match else ""

    @property
    def body(self) -> str:
        """The file without the line that names it."""
        return self.text.partition("\n")[2] if self.file else self.text


def section(heading: str, text: str = README) -> str:
    """What stands below a heading, up to the next one of its level."""
    marks = heading.split(" ")[0]
    below = text.partition(f"\n{heading}\n")[2]
    assert below, heading
    return re.split(rf"(?m)^#{{1,{len(marks)}}} ", below)[0]


def parts(text: str, level: str) -> dict[str, str]:
    """The sections of a level by their titles."""
    found = re.split(rf"(?m)^{level} (.*)\n", text)
    return dict(zip(found[1::2], found[2::2], strict=True))


def blocks(text: str) -> Iterator[Block]:
    """Every indented block."""
    before, held = "", ""
    for line in text.splitlines(keepends=True):
        if line.startswith("    ") or (held and not line.strip()):
            if held and FILE.fullmatch(line.strip()):
                yield Block(held.rstrip("\n") + "\n", before)
                held = ""
            held += line[4:] if line.strip() else "\n"
            continue
        if held:
            yield Block(held.rstrip("\n") + "\n", before)
            held = ""
        before = line.strip() or before
    if held:
        yield Block(held.rstrip("\n") + "\n", before)


def words(line: str) -> list[str]:
    """A line as a shell reads it."""
    return shlex.split(line, comments=True)


def git(folder: Path, arguments: Sequence[str]) -> subprocess.CompletedProcess[str]:
    """Git as on a computer where it was set up, of somebody called Your Name."""
    who = ["-c", "user.name=Your Name", "-c", "user.email=you@example.org", "-c", "init.defaultBranch=main"]
    return subprocess.run(["git", *who, *arguments], cwd=folder, capture_output=True, text=True, timeout=60)


BY_HAND = {block.file: block.body for block in blocks(section("## Written by hand")) if block.file}


def write_by_hand(root: Path) -> Path:
    """The store of README's examples of what is written by hand, in this folder."""
    for file, text in BY_HAND.items():
        path = root / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root
