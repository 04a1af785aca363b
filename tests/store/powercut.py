"""A disk that forgets: what a power cut may leave of a run of writing calls.

The model is the weakest promise that a journaled disk gives (POSIX fsync; ext4 in its ordered mode keeps more): the
bytes of a file are safe once it was flushed, before that they may be missing altogether; a name that was given or
taken is safe once its folder was flushed, and before that names may reach the disk up to any point in their order,
or not at all, folder by folder.
"""

import os
import stat
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import product
from pathlib import Path
from typing import Any

NAMING = ("open", "link", "rename", "replace", "unlink", "mkdir", "rmdir")


@dataclass
class ForgetfulDisk:
    """Follows the calls under `root`; `states` gives what may stand on the disk if the power fails now.

    Folders are known by their inodes, so that one that is renamed keeps what is in it.
    """

    root: Path
    safe_bytes: dict[int, bytes] = field(default_factory=dict)
    safe_names: dict[int, dict[str, int]] = field(default_factory=dict)
    pending: dict[int, list[tuple[str, int | None]]] = field(default_factory=dict)
    seen: list[tuple[str, dict[str, bytes]]] = field(default_factory=list)

    def look(self) -> None:
        """Take what stands now as safe, as after a quiet minute."""
        for path in [self.root, *self.root.rglob("*")]:
            status = path.lstat()
            if stat.S_ISDIR(status.st_mode):
                self.safe_names.setdefault(status.st_ino, {})
            else:
                self.safe_bytes[status.st_ino] = path.read_bytes()
            if path != self.root:
                self.safe_names[path.parent.stat().st_ino][path.name] = status.st_ino

    def install(self, patch: Any) -> None:
        for name in (*NAMING, "fsync"):
            patch.setattr(os, name, self._hook(name, getattr(os, name)))

    def _hook(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*arguments: Any, **options: Any) -> Any:
            if name == "open" and (not arguments[1] & os.O_CREAT or Path(arguments[0]).exists()):
                return real(*arguments, **options)
            moved = os.lstat(arguments[0]).st_ino if name in ("link", "rename", "replace") else None
            answer = real(*arguments, **options)
            if name == "fsync":
                self._flush(arguments[0])
            else:
                self._name(name, [Path(each) for each in arguments[:2] if isinstance(each, str | Path)], moved)
            self.seen += [(f"{name} {arguments[0]}", state) for state in self.states()]
            return answer

        return call

    def _name(self, call: str, paths: list[Path], moved: int | None) -> None:
        if call in ("open", "mkdir"):
            inode = os.lstat(paths[0]).st_ino
            if call == "mkdir":
                self.safe_names[inode] = {}
            else:
                self.safe_bytes.setdefault(inode, b"")
            self._pend(paths[0], inode)
        elif call in ("unlink", "rmdir"):
            self._pend(paths[0], None)
        else:
            self._pend(paths[1], moved)
            if call != "link":
                self._pend(paths[0], None)

    def _pend(self, path: Path, inode: int | None) -> None:
        self.pending.setdefault(path.parent.stat().st_ino, []).append((path.name, inode))

    def _flush(self, handle: int) -> None:
        status = os.fstat(handle)
        if stat.S_ISDIR(status.st_mode):
            self._settle(self.safe_names[status.st_ino], self.pending.pop(status.st_ino, []))
        else:
            self.safe_bytes[status.st_ino] = os.pread(handle, status.st_size, 0)

    @staticmethod
    def _settle(names: dict[str, int], changes: list[tuple[str, int | None]]) -> None:
        for name, inode in changes:
            if inode is None:
                names.pop(name, None)
            else:
                names[name] = inode

    def states(self) -> Iterator[dict[str, bytes]]:
        """Every tree that a power cut may leave: files by name, relative to the root."""
        folders = sorted(self.pending)
        for kept in product(*(range(len(self.pending[folder]) + 1) for folder in folders)):
            names = {folder: dict(entries) for folder, entries in self.safe_names.items()}
            for folder, length in zip(folders, kept, strict=True):
                self._settle(names[folder], self.pending[folder][:length])
            yield dict(self._tree("", self.root.stat().st_ino, names))

    def _tree(self, above: str, folder: int, names: dict[int, dict[str, int]]) -> Iterator[tuple[str, bytes]]:
        for name, inode in names[folder].items():
            if inode in names:
                yield from self._tree(f"{above}{name}/", inode, names)
            else:
                yield f"{above}{name}", self.safe_bytes[inode]
