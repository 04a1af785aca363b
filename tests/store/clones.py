"""Three clones of one store, real git, and people who write in all of them at once."""

import datetime as dt
import os
import random
import subprocess
from dataclasses import dataclass
from pathlib import Path

from inspect_kit import store
from inspect_kit.due import due
from tests.store.scratch import BODY, WORKSHEET_TEXT, after_block, make_store

AN_EPOCH = "2026-11-28T12:00:00+00:00"
TODAY = dt.date(2026, 12, 31)


@dataclass
class Merge:
    """What git said to a merge: whether it left something to decide, and which files."""

    clean: bool
    undecided: tuple[str, ...] = ()


@dataclass
class Clone:
    """One person's copy of the store."""

    root: Path
    who: str
    choose: random.Random

    def git(self, *words: str, check: bool = True) -> str:
        done = subprocess.run(
            ["git", *words], cwd=self.root, capture_output=True, text=True, check=False, env=environment(self.who)
        )
        if check and done.returncode != 0:
            raise AssertionError(f"git {' '.join(words)}: {done.stdout}{done.stderr}")
        return done.stdout

    def commit(self, words: str) -> None:
        self.git("add", "-A")
        self.git("commit", "-q", "-m", words)

    def tree(self) -> str:
        return self.git("rev-parse", "HEAD^{tree}").strip()

    def merge(self, other: "Clone", *options: str) -> Merge:
        self.git("fetch", "-q", str(other.root), "HEAD")
        done = subprocess.run(
            ["git", "merge", "-q", "--no-edit", *options, "FETCH_HEAD"],
            cwd=self.root,
            capture_output=True,
            text=True,
            check=False,
            env=environment(self.who),
        )
        if done.returncode == 0:
            return Merge(clean=True)
        return Merge(clean=False, undecided=tuple(self.git("diff", "--name-only", "--diff-filter=U").split()))

    def code(self) -> str:
        return store.new_code(self.choose.randbytes)

    def day(self) -> dt.date:
        return dt.date(2026, 11, 28) + dt.timedelta(days=self.choose.randint(0, 30))

    def hours(self) -> None:
        """Readings rise with the days, so that any order of merging can be true."""
        on = self.day()
        tach = 612 + (on - dt.date(2026, 11, 28)).days
        after = after_block(self.root)
        text = f"format: 1\nkind: hours\ndate: {on}\nmeters: {{tach: {tach}.0}}\ntext: by {self.who}\n{after}"
        self._create(store.record_name(on, "hours", self.code()), text.encode())

    def work(self) -> None:
        on = self.day()
        after = after_block(self.root)
        text = f"format: 1\nkind: work\ndate: {on}\ndid: [oil-change]\ntext: by {self.who}\n{after}"
        self._create(store.record_name(on, "oil-change", self.code()), text.encode())

    def finding(self) -> None:
        on = self.day()
        text = (
            f"format: 1\nkind: finding\ndate: {on}\nfound: a crack, by {self.who}\nfix: before flight\ncheck: baffles\n"
        )
        self._create(store.record_name(on, "finding-baffles", self.code()), text.encode())

    def start(self) -> str:
        page = store.open_name(self.day(), "condition", self.code())
        self._create(page, WORKSHEET_TEXT)
        return page

    def sign(self, page: str) -> str:
        on = self.day()
        record = store.record_name(on, "condition", self.code())
        body = BODY.replace(b"date: 2026-11-28\nentered: 2026-11-28", f"date: {on}\nentered: {on}".encode())
        with store.writing(self.root, command="sign") as writer:
            read = (self.root / page).read_bytes()
            store.sign(writer, page=page, read=read, record=record, body=body)
        return record

    def start_and_sign(self) -> None:
        self.sign(self.start())

    def _create(self, name: str, data: bytes) -> None:
        with store.writing(self.root, command="entry") as writer:
            store.create(writer, name, data)


def environment(who: str) -> dict[str, str]:
    """Nothing of the computer's own git habits, and one moment for every commit."""
    return {
        "PATH": os.environ["PATH"],
        "HOME": os.devnull,
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_AUTHOR_NAME": who,
        "GIT_AUTHOR_EMAIL": f"{who}@example.org",
        "GIT_COMMITTER_NAME": who,
        "GIT_COMMITTER_EMAIL": f"{who}@example.org",
        "GIT_AUTHOR_DATE": AN_EPOCH,
        "GIT_COMMITTER_DATE": AN_EPOCH,
        "LC_ALL": "C",
    }


def clones(folder: Path, seed: int, number: int = 3) -> list[Clone]:
    """A store in git, and clones of it."""
    first = Clone(make_store(folder / "clone0"), "builder0", random.Random(seed * 10))
    (first.root / ".gitattributes").write_text("records/** -text\nchecklists/** -text\n")
    first.git("init", "-q", "-b", "main")
    first.commit("the store")
    found = [first]
    for each in range(1, number):
        root = folder / f"clone{each}"
        first.git("clone", "-q", str(first.root), str(root))
        found.append(Clone(root, f"builder{each}", random.Random(seed * 10 + each)))
    return found


def answers(root: Path) -> tuple[object, ...]:
    """What the store says: every record, every due item, every problem, every seal."""
    loaded = store.load(root)
    assert loaded.logbook is not None
    seals = store.check_seals(loaded.files, store.registered(root))
    return loaded.logbook, due(loaded.logbook, TODAY), loaded.problems, seals


def random_history(folder: Path, seed: int) -> int:
    """People write, commit and merge at random; in the end all merge all, in two different orders.

    Every merge must be clean and all copies must say the same. Returns the number of merges.
    """
    choose = random.Random(seed)
    three = clones(folder, seed)
    merges = 0
    for _ in range(choose.randint(5, 10)):
        one = choose.choice(three)
        if choose.random() < 0.25:
            other = choose.choice([each for each in three if each is not one])
            assert one.merge(other).clean
            merges += 1
        else:
            deed = choose.choice([one.hours, one.work, one.finding, one.start_and_sign, one.start])
            deed()
            one.commit(deed.__name__)
    fourth = Clone(folder / "clone3", "buyer", random.Random(seed))
    three[2].git("clone", "-q", str(three[2].root), str(fourth.root))
    for one, others in ((three[0], (three[1], three[2])), (fourth, (three[1], three[0]))):
        for other in others:
            assert one.merge(other).clean
            merges += 1
    for one in (three[1], three[2]):
        assert one.merge(three[0]).clean
        merges += 1
    copies = [*three, fourth]
    assert len({one.tree() for one in copies}) == 1
    said = [answers(one.root) for one in copies]
    assert all(each == said[0] for each in said)
    assert said[0][2:] == ((), ())
    return merges
