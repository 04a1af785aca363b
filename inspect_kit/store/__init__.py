"""The only room that touches the disk: finding a store, reading it whole, writing to it safely, sealing, checking."""

from inspect_kit.store.attachments import attach, attached, check_files, file_sums
from inspect_kit.store.decoding import decode
from inspect_kit.store.layout import at, find, new_code, open_name, place_of, record_name, slug, worksheet_of
from inspect_kit.store.loading import Loaded, load, pointed
from inspect_kit.store.lock import writing
from inspect_kit.store.outside import make_folder, make_store, write_outside
from inspect_kit.store.printed import keep_sheet, kept_sheet
from inspect_kit.store.reading import Snapshot
from inspect_kit.store.register import registered
from inspect_kit.store.seals import after_block, heads, heads_to_name, read_seal
from inspect_kit.store.signature import check_signature, sign_with_key
from inspect_kit.store.transaction import read_settled, sign
from inspect_kit.store.verification import check_seals
from inspect_kit.store.writing import AlreadyThere, ChangedSinceRead, Writer, create, remove, replace

__all__ = [
    "AlreadyThere",
    "ChangedSinceRead",
    "Loaded",
    "Snapshot",
    "Writer",
    "after_block",
    "at",
    "attach",
    "attached",
    "check_files",
    "check_seals",
    "check_signature",
    "create",
    "decode",
    "file_sums",
    "find",
    "heads",
    "heads_to_name",
    "keep_sheet",
    "kept_sheet",
    "load",
    "make_folder",
    "make_store",
    "new_code",
    "open_name",
    "place_of",
    "pointed",
    "read_seal",
    "read_settled",
    "record_name",
    "registered",
    "remove",
    "replace",
    "sign",
    "sign_with_key",
    "slug",
    "worksheet_of",
    "write_outside",
    "writing",
]
