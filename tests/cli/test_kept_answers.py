"""Whether what files were read as is in the cache or not, every answer is the same, byte for byte."""

from pathlib import Path

import pytest

from inspect_kit.cli import desk
from inspect_kit.cli.commands import ANSWERS
from tests.cli.conftest import Run, entered

ROOT = Path(__file__).parents[2]
ASKED = {
    "due": (("due",), ("due", "--json"), ("due", "--all"), ("due", "stacks")),
    "plan": (("plan", "condition", "--json"), ("plan", "stacks")),
    "visits": (("visits", "--months", "3"),),
    "sheet": (("sheet", "condition", "--to", "due.html", "--force"),),
    "report": (("report",), ("report", "--json")),
    "scope": (("scope", "--all"), ("scope", "--json")),
    "status": (("status",), ("status", "--json")),
    "directives": (("directives",),),
    "balance": (("balance",),),
    "trend": (("trend", "--json"),),
    "parts": (("parts",),),
    "history": (("history", "stacks"),),
    "find": (("find", "crack"),),
    "calendar": (("calendar", "--to", "due.ics", "--force"),),
    "export": (("export", "--csv"),),
}


def test_every_command_that_answers_is_asked() -> None:
    assert {*ASKED} == ANSWERS - {"walk"}


@pytest.fixture
def odd(hangar: Path) -> Path:
    """With what cannot be read, and what contradicts itself: problems are kept as well."""
    entered(hangar, "2026-11-21-oil", "kind: work\ndate: 2026-11-21\ndid: [nothing-of-that-name]\ntext: oil\n")
    (hangar / "records/2026/2026-11-22-hours.yaml").write_text("kind: hours\ndate: 2026-22-11\nmeters: {tach: 12,5}\n")
    return hangar


@pytest.mark.parametrize("command", ASKED)
def test_cold_and_warm_and_without(
    run: Run, odd: Path, command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for words in ASKED[command]:
        found = []
        for cache in (None, tmp_path / "cache", tmp_path / "cache"):
            monkeypatch.setattr(desk, "cache_folder", lambda cache=cache: cache)
            found.append((run(odd, *words), [path.read_bytes() for path in sorted(tmp_path.glob("due.*"))]))
        assert found[1] == found[0], "written anew"
        assert found[2] == found[0], "taken from there"
        assert any((tmp_path / "cache").iterdir())


def test_the_sample_too(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = []
    for cache in (None, tmp_path / "cache", tmp_path / "cache"):
        monkeypatch.setattr(desk, "cache_folder", lambda cache=cache: cache)
        found.append([run(ROOT, *words) for words in (("due", "--json"), ("report",))])
    assert found[0] == found[1] == found[2]
    assert found[0][0].code == 0


@pytest.mark.parametrize("words", [("verify",), ("hours", "tach=612"), ("sign",)])
def test_who_writes_seals_or_verifies_does_without(
    run: Run, hangar: Path, words: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk, "cache_folder", lambda: tmp_path / "cache")
    run(hangar, *words)
    assert not (tmp_path / "cache").exists()


@pytest.mark.parametrize(
    ("words", "folder"),
    [
        ({"XDG_CACHE_HOME": "/c", "HOME": "/h"}, "/c/inspect-kit"),
        ({"XDG_CACHE_HOME": "", "HOME": "/h"}, "/h/.cache/inspect-kit"),
        ({"XDG_CACHE_HOME": "relative", "HOME": "/h"}, "/h/.cache/inspect-kit"),
    ],
)
def test_where_it_is(words: dict[str, str], folder: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification: an empty or a relative path counts for nothing."""
    for name, value in words.items():
        monkeypatch.setenv(name, value)
    assert desk.cache_folder() == Path(folder)
