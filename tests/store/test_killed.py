"""Killed at any moment, the store is either before or after, and the next command works without a repair step."""

import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import pytest

from inspect_kit import store
from tests.store.killing import WAYS, count_calls, run_killed
from tests.store.random_kills import kill_at_random
from tests.store.scratch import (
    HOURS,
    HOURS_TEXT,
    PAGE,
    RECORD,
    WORKSHEET,
    WORKSHEET_TEXT,
    complaints,
    make_store,
    settled,
    sign,
    tools_files,
)

WITHDRAWN = b"withdrawn: {date: 2026-11-28, reason: of another aircraft, by: Sample Builder}\n"
NEW_HOURS = "records/2026/2026-11-27-hours-later.yaml"


@dataclass(frozen=True)
class Deed:
    """Something that writes, what stands before it, and how a person goes on with it after a kill."""

    name: str
    prepare: Callable[[Path], None]
    act: Callable[[Path], None]
    again: Callable[[Path], None] | None = None


def _nothing(root: Path) -> None:
    pass


def _record(root: Path) -> None:
    with store.writing(root, command="hours") as writer:
        store.create(writer, NEW_HOURS, HOURS_TEXT.replace(b"2026-11-20", b"2026-11-27"))


def _edit(root: Path) -> None:
    old = (root / PAGE).read_bytes()
    with store.writing(root, command="finding") as writer:
        store.replace(writer, PAGE, old + b"\n- [ ] `extra` Added by hand\n", read=old)


def _walk(root: Path) -> None:
    """Tick the boxes one after another, each one saved at once."""
    for _ in range(4):
        old = (root / PAGE).read_bytes()
        with store.writing(root, command="walk") as writer:
            store.replace(writer, PAGE, old.replace(b"[ ]", b"[x]", 1), read=old)


def _untick(root: Path) -> None:
    (root / PAGE).write_bytes(WORKSHEET_TEXT.replace(b"[x]", b"[ ]"))


def _sign(root: Path) -> None:
    sign(root)


def _with_photograph(root: Path) -> None:
    folder = root / PAGE.removesuffix(".md")
    folder.mkdir()
    (folder / "weld.jpg").write_bytes(b"\xff\xd8 a picture")


def _sign_discrepancies(root: Path) -> None:
    with store.writing(root, command="sign") as writer:
        read = (root / PAGE).read_bytes()
        body = b"format: 1\nkind: inspection\ndate: 2026-11-28\n"
        store.sign(writer, page=PAGE, read=read, record=RECORD, body=body, stays=True)


TWO = {NEW_HOURS: b"format: 1\n", NEW_HOURS.replace("later", "latest"): b"format: 1\nkind: hours\n"}


def _together(root: Path) -> None:
    with store.writing(root, command="install") as writer:
        store.create_all(writer, TWO)


def _withdraw(root: Path) -> None:
    with store.writing(root, command="withdraw") as writer:
        store.withdraw(writer, HOURS, read=HOURS_TEXT, whole=HOURS_TEXT + WITHDRAWN)


DEEDS = (
    Deed("record", _nothing, _record),
    Deed("edit", _nothing, _edit),
    Deed("walk", _untick, _walk),
    Deed("sign", _with_photograph, _sign),
    Deed("together", _nothing, _together),
    Deed("withdraw", _nothing, _withdraw),
    Deed("sign discrepancies", _with_photograph, _sign_discrepancies),
)


# What the next command ends.
FINISHED = ("sign", "together", "withdraw")


def states_between(folder: Path, deed: Deed) -> list[dict[str, bytes]]:
    """Every state that a reader may see while the deed is done: those after each call that gives or takes a name."""
    root = fresh(folder / "whole", deed)
    seen = [settled(root)]
    real = {name: getattr(os, name) for name in ("link", "replace", "unlink", "rename")}

    def watched(name: str) -> Callable[..., None]:
        def call(*arguments: object, **options: object) -> None:
            real[name](*arguments, **options)
            state = settled(root)
            if state != seen[-1]:
                seen.append(state)

        return call

    with pytest.MonkeyPatch.context() as patch:
        for name in real:
            patch.setattr(os, name, watched(name))
        deed.act(root)
    return seen


def fresh(folder: Path, deed: Deed) -> Path:
    shutil.rmtree(folder, ignore_errors=True)
    root = make_store(folder)
    deed.prepare(root)
    return root


def calls_of(folder: Path, deed: Deed) -> int:
    root = fresh(folder / "counted", deed)
    return count_calls(partial(deed.act, root))


def kill_everywhere(folder: Path, deed: Deed, every: int = 1) -> int:
    """Kill a deed at every `every`th writing call in each way, each way at other calls; the number of kills."""
    allowed = states_between(folder, deed)
    calls = calls_of(folder, deed)
    kills = 0
    for number, way in enumerate(WAYS):
        for at in range(number % every, calls, every):
            root = fresh(folder / "killed", deed)
            assert run_killed(partial(deed.act, root), at, way)
            kills += 1
            left = settled(root)
            assert left in allowed, f"{deed.name} killed {way} call {at}: a state in between"
            assert seal_problems(root) == []
            # The next command is another one; it needs no repair and leaves nothing of the dead one behind.
            next_command(root)
            assert settled(root) == left
            assert tools_files(root) == []
            if left != allowed[-1]:
                (deed.again or deed.act)(root)
            assert settled(root) == allowed[-1], f"{deed.name} killed {way} call {at}: it could not be done again"
            assert seal_problems(root) == []
    return kills


def seal_problems(root: Path) -> list[str]:
    loaded = store.read_settled(root)
    return [str(problem) for problem in (*loaded.problems, *store.check_seals(loaded.files, store.registered(root)))]


@pytest.mark.parametrize("deed", DEEDS, ids=lambda deed: deed.name)
def test_a_killed_command_leaves_before_or_after(tmp_path: Path, deed: Deed) -> None:
    # Every call in one way; in all three in `python -m tests.bench store kills`.
    assert kill_everywhere(tmp_path, deed, every=3) >= 10


def test_a_walk_has_one_state_for_each_tick_and_signing_has_two(tmp_path: Path) -> None:
    """The oracle of the other tests: without it, any state would be allowed."""
    by_name = {deed.name: deed for deed in DEEDS}
    assert len(states_between(tmp_path, by_name["walk"])) == 5
    assert [len(states_between(tmp_path, by_name[name])) for name in ("record", "together", "withdraw")] == [2, 2, 2]
    before, after = states_between(tmp_path, by_name["sign"])
    assert PAGE in before
    assert RECORD not in before
    assert PAGE not in after
    assert after[WORKSHEET] == WORKSHEET_TEXT


def next_command(root: Path) -> None:
    """Any other command that writes."""
    with store.writing(root, command="hours"):
        pass


@pytest.mark.parametrize("name", FINISHED)
def test_killed_again_while_the_next_command_finishes(tmp_path: Path, name: str) -> None:
    """A kill, and a second kill at every call of the command after it, which ends what the first one began."""
    deed = next(deed for deed in DEEDS if deed.name == name)
    allowed = states_between(tmp_path, deed)
    calls = calls_of(tmp_path, deed)
    kills = 0
    for first in range(0, calls, 3):
        for second in range(first % 2, 60, 2):
            root = fresh(tmp_path / "killed", deed)
            assert run_killed(partial(deed.act, root), first, "after")
            if not run_killed(partial(next_command, root), second, "before"):
                break
            kills += 1
            assert settled(root) in allowed
            next_command(root)
            assert settled(root) in allowed
            assert tools_files(root) == []
    assert kills >= 15


def test_nothing_of_the_photographs_is_lost(tmp_path: Path) -> None:
    deed = Deed("sign", _with_photograph, _sign)
    calls = calls_of(tmp_path, deed)
    for at in range(calls):
        root = fresh(tmp_path / "killed", deed)
        run_killed(partial(deed.act, root), at, "after")
        if RECORD in settled(root):
            # A record that names it finds it even before the next command has moved it.
            digest = hashlib.sha256(b"\xff\xd8 a picture").hexdigest()
            assert store.check_files(root, RECORD, {"weld.jpg": digest}) == ()
        next_command(root)
        signed = RECORD in settled(root)
        where = RECORD.removesuffix(".yaml") if signed else PAGE.removesuffix(".md")
        assert list(store.file_sums(root, RECORD if signed else PAGE)) == ["weld.jpg"]
        assert (root / where / "weld.jpg").read_bytes() == b"\xff\xd8 a picture"


def test_discrepancies_keep_their_photographs_in_both_places(tmp_path: Path) -> None:
    root = fresh(tmp_path / "store", Deed("", _with_photograph, _sign))
    _sign_discrepancies(root)
    assert list(store.file_sums(root, RECORD)) == list(store.file_sums(root, PAGE)) == ["weld.jpg"]
    assert store.check_files(root, RECORD, store.file_sums(root, PAGE)) == ()


def test_a_page_that_was_changed_after_the_kill_keeps_its_entry(tmp_path: Path) -> None:
    """Signed, killed before the page was moved, then edited by hand: both are kept, and it is said."""
    deed = Deed("sign", _nothing, _sign)
    calls = calls_of(tmp_path, deed)
    told = 0
    for at in range(calls):
        root = fresh(tmp_path / "killed", deed)
        run_killed(partial(deed.act, root), at, "after")
        if RECORD not in settled(root) or not (root / PAGE).exists():
            continue
        changed = WORKSHEET_TEXT + b"\n- [x] `late` Written by hand after the kill\n"
        (root / PAGE).write_bytes(changed)
        next_command(root)
        assert (root / PAGE).read_bytes() == changed
        assert (root / WORKSHEET).read_bytes() == WORKSHEET_TEXT
        assert any(line.startswith(f"{PAGE}: was signed on 2026-11-28") for line in complaints(root))
        told += 1
    assert told >= 5


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not installed")
def test_nothing_writes_past_the_hooks(tmp_path: Path) -> None:
    """The calls of the system itself, counted by strace, are those that the hooks count."""
    root = make_store(tmp_path / "store")
    code = f"""
import os, sys
from pathlib import Path
from tests.store.scratch import sign
from tests.store.killing import Hooks
root = Path({str(root)!r})
hooks = Hooks(); hooks.install()
sign(root)
os.environ["HOOKED"] = "1"
sys.stderr.write(str(len(hooks.calls)))
"""
    trace = tmp_path / "trace"
    names = "write,pwrite64,writev,fsync,fdatasync,link,linkat,rename,renameat,renameat2,unlink,unlinkat,mkdir,mkdirat"
    names += ",ftruncate,truncate,openat,fchmod,pwritev,copy_file_range,sendfile,fallocate,creat,open,rmdir,mknod"
    done = subprocess.run(
        ["strace", "-y", "-o", str(trace), "-e", f"trace={names}", sys.executable, "-B", "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[2],
    )
    lines = [line for line in trace.read_text().splitlines() if str(root) in line or "/.inspect-kit" in line]
    lines = [line for line in lines if not line.startswith("openat") or "O_CREAT" in line]
    assert len(lines) == int(done.stderr)


def test_killed_at_random(tmp_path: Path) -> None:
    """What a command reported as done is there after SIGKILL at any moment; hundreds run in the benchmark."""
    tally = kill_at_random(tmp_path / "store", 60)
    assert tally.faults == ()
    assert tally.kills == 60
    assert tally.reported >= 60
    assert tally.signed >= 5
