"""What was read and searched once in a run of the tests is not read and searched again by the next test that asks.

Reading a file, finding what contradicts itself between files, laying a schedule and laying the visits of a year are
functions of what they are given and of nothing else; the rooms that own them try that without this. Everywhere else
hundreds of tests ask the same of copies of the same sample aircraft, and get the answer of the first one that asked, in
whichever process of the run that was.
"""

import datetime as dt
import hashlib
import io
import os
import pickle
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import lru_cache, wraps
from pathlib import Path
from typing import Any

from inspect_kit.store.loading import Loaded, problems_rest_on

# Where these are tried themselves, or how often they are called.
OWNERS = ("bench", "replenishment", "scheduling", "store", "stores", "text", "visits")
OWN = ("test_kept_answers.py", "test_long_jobs.py")
MOST = 4096


def is_recalled(path: Path) -> bool:
    """Whether the tests of a file get what others asked before."""
    tests = Path(__file__).parent
    return tests in path.parents and path.relative_to(tests).parts[0] not in OWNERS and path.name not in OWN


def read_once(parse: Callable[[str, bytes], Any]) -> Callable[[str, bytes], Any]:
    """A reader of files that reads the same bytes under the same name once in this process."""
    return wraps(parse)(lru_cache(maxsize=MOST)(parse))


def told_once(tell: Callable[..., Any]) -> Callable[..., Any]:
    """What tells the problems of all files together, once for the same files, day and judgement in this process."""
    found: dict[bytes, Any] = {}

    @wraps(tell)
    def recalled(loaded: Loaded, day: dt.date, find: Callable[[], Any]) -> Any:
        key = problems_rest_on(loaded, day)
        if key not in found:
            found[key] = tell(loaded, day, find)
        return found[key]

    return recalled


def searched_once(search: Callable[..., Any], folder: Path) -> Callable[..., Any]:
    """A search that is made once for all that run in this folder."""
    found: dict[str, Any] = {}

    @wraps(search)
    def recalled(*asked: Any) -> Any:
        key = hashlib.sha256(search.__qualname__.encode() + as_bytes(asked)).hexdigest()
        path = folder / key
        if key not in found and path.exists():
            found[key] = pickle.loads(path.read_bytes())
        if key not in found:
            found[key] = search(*asked)
            waiting = folder / f"{key}.{os.getpid()}"
            waiting.write_bytes(pickle.dumps(found[key]))
            waiting.replace(path)
        return found[key]

    return recalled


class _Plain(pickle.Pickler):
    """Of nouns what they say: neither which parts are one and the same object, nor what they keep beside it."""

    def reducer_override(self, value: Any) -> Any:
        if is_dataclass(value) and not isinstance(value, type):
            return tuple, ((type(value).__qualname__, *(getattr(value, each.name) for each in fields(value))),)
        return NotImplemented


def as_bytes(asked: object) -> bytes:
    """The same bytes for what is equal."""
    stream = io.BytesIO()
    pickler = _Plain(stream)
    pickler.fast = True
    pickler.dump(asked)
    return stream.getvalue()
