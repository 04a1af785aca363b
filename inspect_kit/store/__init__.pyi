from inspect_kit.store.attachments import (
    attach,
    attached,
    beside,
    check_files,
    file_sums,
    laid,
    put_beside,
    refuse_alike,
    taken,
    unnamed_files,
)
from inspect_kit.store.decoding import decode
from inspect_kit.store.git import AS_WRITTEN, ATTRIBUTES, git_may_turn
from inspect_kit.store.judging import keys_of, signer_of, whose_key
from inspect_kit.store.layout import (
    at,
    find_store,
    is_withdrawn,
    new_code,
    open_name,
    record_name,
    record_place,
    slug,
    withdrawn_name,
    worksheet_of,
)
from inspect_kit.store.loading import Loaded, kept_problems, load, pages_of_records, pointed, would_be
from inspect_kit.store.lock import writing
from inspect_kit.store.outside import (
    AnswerMark,
    make_outside,
    make_store,
    one_word,
    refuse_kept,
    refuse_root,
    refuse_taken,
    write_outside,
)
from inspect_kit.store.printed import keep_sheet, kept_sheet
from inspect_kit.store.reading import Snapshot, Watch, is_like_record, stamps
from inspect_kit.store.register import registered
from inspect_kit.store.seals import heads, read_seal, sha256
from inspect_kit.store.signature import Unchecked, check_signature, refuse_no_key, sign_with_key
from inspect_kit.store.together import NotYetInPlace, create_all
from inspect_kit.store.transaction import PageNotMoved, read_settled, sealed_bytes, sign
from inspect_kit.store.verification import Fault, check_seals
from inspect_kit.store.withdrawing import withdraw
from inspect_kit.store.writing import AlreadyThere, ChangedSinceRead, Writer, create, remove_file, replace

__all__ = [
    "AS_WRITTEN",
    "ATTRIBUTES",
    "AlreadyThere",
    "AnswerMark",
    "ChangedSinceRead",
    "Fault",
    "Loaded",
    "NotYetInPlace",
    "PageNotMoved",
    "Snapshot",
    "Unchecked",
    "Watch",
    "Writer",
    "at",
    "attach",
    "attached",
    "beside",
    "check_files",
    "check_seals",
    "check_signature",
    "create",
    "create_all",
    "decode",
    "file_sums",
    "find_store",
    "git_may_turn",
    "heads",
    "is_like_record",
    "is_withdrawn",
    "keep_sheet",
    "kept_problems",
    "kept_sheet",
    "keys_of",
    "laid",
    "load",
    "make_outside",
    "make_store",
    "new_code",
    "one_word",
    "open_name",
    "pages_of_records",
    "pointed",
    "put_beside",
    "read_seal",
    "read_settled",
    "record_name",
    "record_place",
    "refuse_alike",
    "refuse_kept",
    "refuse_no_key",
    "refuse_root",
    "refuse_taken",
    "registered",
    "remove_file",
    "replace",
    "sealed_bytes",
    "sha256",
    "sign",
    "sign_with_key",
    "signer_of",
    "slug",
    "stamps",
    "taken",
    "unnamed_files",
    "whose_key",
    "withdraw",
    "withdrawn_name",
    "worksheet_of",
    "would_be",
    "write_outside",
    "writing",
]
