"""Inputs that broke the program once, or that break others of its kind, each with what must be said of it.

A row is (title, file, bytes, line, words): with words empty, the file is read without a problem; otherwise a problem
at that line says them. Every crash that the fuzzer finds becomes a row.
"""

from tests.store.scratch import AIRCRAFT, WORKSHEET_TEXT

HOURS = "records/2026/2026-11-25-hours-row.yaml"
EARLY = "records/2026/2026-01-02-hours-row.yaml"
PAGE = "records/open/2026-11-25-row.md"
PANEL = "checklists/tail/row.md"
PLANE = "records/aircraft.yaml"
FRONT = b"---\npanel: tail-cone\nname: Tail cone\nzone: tail\n---\n"


def hours(more: bytes) -> bytes:
    return b"format: 1\nkind: hours\ndate: 2026-11-25\nmeters: {tach: 612.0}\n" + more


def checks(text: bytes) -> bytes:
    return FRONT + b"\n" + text


Row = tuple[str, str, bytes, int, str]

YAML: tuple[Row, ...] = (
    ("plain", HOURS, hours(b""), 0, ""),
    ("CRLF", HOURS, hours(b"text: a\n").replace(b"\n", b"\r\n"), 0, ""),
    ("alias", HOURS, hours(b"text: &a x\nat: *a\n"), 5, "anchor"),
    ("alias alone", HOURS, hours(b"text: *a\n"), 5, "alias"),
    ("billion laughs", HOURS, hours(b"text: &a [x, x]\nat: [*a, *a, *a]\n"), 5, "anchor"),
    ("merge key", HOURS, hours(b"<<: {text: x}\n"), 5, "unknown key"),
    ("tag that runs", HOURS, hours(b"text: !!python/object/apply:os.system [ls]\n"), 5, "tag"),
    ("local tag", HOURS, hours(b"text: !secret x\n"), 5, "tag"),
    ("binary tag", HOURS, hours(b"text: !!binary AAAA\n"), 5, "tag"),
    ("duplicate key", HOURS, hours(b"meters: {tach: 900.0}\n"), 5, "meters"),
    ("deep flow", HOURS, hours(b"text: " + b"[" * 5000 + b"]" * 5000 + b"\n"), 5, "nest"),
    ("deep blocks", HOURS, hours(b"text:\n" + b"".join(b" " * i + b"-\n" for i in range(1, 200))), 0, "nested"),
    ("open brackets", HOURS, hours(b"text: " + b"[" * 100_000 + b"\n"), 5, "nest"),
    ("huge number", HOURS, hours(b"").replace(b"612.0", b"9" * 100_000), 4, "tach"),
    ("number over two lines", HOURS, hours(b"").replace(b"612.0", b"6\n\n  12"), 4, "not `6 12`"),
    ("exponent", HOURS, hours(b"").replace(b"612.0", b"1e9"), 4, "tach"),
    ("infinity", HOURS, hours(b"").replace(b"612.0", b".inf"), 4, "tach"),
    ("no number", HOURS, hours(b"").replace(b"612.0", b".nan"), 4, "tach"),
    ("sexagesimal", HOURS, hours(b"").replace(b"612.0", b"12:30"), 4, "tach"),
    ("underscores", HOURS, hours(b"").replace(b"612.0", b"6_12"), 4, "tach"),
    ("arabic digits", HOURS, hours(b"").replace(b"612.0", "٦١٢".encode()), 4, "tach"),
    ("wide digits", HOURS, hours(b"").replace(b"612.0", "６１２".encode()), 4, "tach"),
    ("octal stays text", HOURS, hours(b"at: 010\n"), 0, ""),
    ("no stays text", HOURS, hours(b"at: NO\ntext: on\n"), 0, ""),
    ("date that is none", HOURS, hours(b"").replace(b"2026-11-25", b"2026-02-30"), 3, "date"),
    ("huge string", HOURS, hours(b"text: " + b"x" * 1_000_000 + b"\n"), 0, ""),
    ("file too large", HOURS, hours(b"# " + b"x" * 5_000_000 + b"\n"), 0, "larger than 4 MB"),
    ("NUL", HOURS, hours(b"text: a\0b\n"), 5, "NUL"),
    ("byte order mark", HOURS, b"\xef\xbb\xbf" + hours(b""), 1, "byte order mark"),
    ("lone surrogate", HOURS, hours(b"text: \xed\xa0\x80\n"), 5, "not UTF-8"),
    ("surrogate escape", HOURS, hours(b'text: "\\ud800"\n'), 5, ""),
    ("escape sequence", HOURS, hours(b"text: a\x1b[31mb\n"), 5, "control character"),
    ("escape by escape", HOURS, hours(b'text: "a\\x1b[31mb"\n'), 0, ""),
    ("bidirectional", HOURS, hours("text: ab\u202ecd\n".encode()), 5, "turns the direction"),
    ("next line", HOURS, hours("text: a\u0085b: c\n".encode()), 5, "line break"),
    ("two documents", HOURS, hours(b"---\nformat: 1\n"), 5, ""),
    ("directive", HOURS, b"%YAML 1.1\n---\n" + hours(b""), 0, ""),
    ("tab indent", HOURS, hours(b"files:\n\ta.jpg: x\n"), 6, "YAML"),
    ("a list", HOURS, b"- a\n", 1, ""),
    ("a word", HOURS, b"hello\n", 1, ""),
    ("nothing", HOURS, b"", 1, ""),
    ("comment only", HOURS, b"# nothing\n", 1, ""),
    ("unknown key", HOURS, hours(b"txet: a\n"), 5, "did you mean `text`"),
    ("key of another kind", HOURS, hours(b"position: engine\n"), 5, "unknown key"),
    ("complex key", HOURS, hours(b"? [a, b]\n: c\n"), 5, ""),
    ("empty key", HOURS, hours(b": c\n"), 5, ""),
    ("null value", HOURS, hours(b"text:\n"), 5, "no value"),
    (
        "readings that fall",
        HOURS,
        hours(b"").replace(b"612.0", b"99999999999.6").replace(b"11-25", b"01-02"),
        0,
        "lower",
    ),
    ("conflict", HOURS, hours(b"<<<<<<< HEAD\ntext: a\n=======\ntext: b\n>>>>>>> x\n"), 5, "conflict"),
    ("meter unknown", HOURS, hours(b"").replace(b"tach", b"tacho"), 0, "tacho"),
    ("aircraft cut off", PLANE, AIRCRAFT[:100], 2, "YAML"),
    ("aircraft without people", PLANE, AIRCRAFT[: AIRCRAFT.index(b"people:")], 0, "people"),
)

OK_BOXES = (
    b"- [ ] `a1` x", b"* [ ] `a1` x", b"+ [ ] `a1` x", b"-   [ ]   `a1`   x", b"-\t[ ] `a1` x", b"  - [ ] `a1` x",
    b"- [ ] `a1` x\r",
    # As people and editors draw them, and one thing only can be meant.
    b"-[ ] `a1` x", b"- [] `a1` x", b"- [  ] `a1` x", b"1. [ ] `a1` x", b"- [ ]`a1` x", b"- [ ] ` a1 ` x",
    b"[ ] `a1` x",
    "• [ ] `a1` x".encode(), "\u00a0- [ ]\u00a0`a1` x".encode(), "- [ ] ´a1´ x".encode(), b"( ) `a1` x",
    "☐ `a1` x".encode(),
)  # fmt: skip
TICKED = WORKSHEET_TEXT.replace(b"- [x] `oil-change` Change the oil", b"@")
TICKED_BOXES = (
    b"- [x] `oil-change` x", b"* [X] `oil-change`", b"+ [x] `oil-change` x", b"\t- [x] `oil-change` x\r",
    b"1) [x] `oil-change` x", "– [ x] `oil-change` x".encode(), "- [✓] `oil-change` x".encode(),
    "☑ `oil-change`".encode(),
)  # fmt: skip
BAD_BOXES = (
    b"- [y] `a1` x", b"- [ ] a1 x", b"- [ ] `A1` x", b"- [ ] `a--1` x", b"- [ ] `1a` x", b"- [ ] 'a1' x",
    "- [✗] `a1` x".encode(), b"- [ok] `a1` x", b"> - [ ] `a1` x", b"- [ ] Remove `a1` x",
    b"- [ ] remvoe `a1` x", "- [ ] `а1` x".encode(),  # a Cyrillic letter
)  # fmt: skip

MARKDOWN: tuple[Row, ...] = (
    *((f"box {box!r}", PANEL, checks(box + b"\n"), 0, "") for box in OK_BOXES),
    *((f"ticked {box!r}", PAGE, TICKED.replace(b"@", box), 0, "") for box in TICKED_BOXES),
    ("ticked in a checklist", PANEL, checks(b"- [x] `a1` x\n"), 7, "ticked"),
    ("box without words", PANEL, checks(b"- [ ] `a1`\n"), 7, "nothing after its id"),
    *((f"no box {box!r}", PANEL, checks(box + b"\n"), 7, "") for box in BAD_BOXES),
    ("box in a fence", PANEL, checks(b"```\n- [ ] `hidden` x\n```\n- [ ] `a1` x\n"), 0, ""),
    ("box in tildes", PANEL, checks(b"~~~\n- [ ] `hidden` x\n```\n~~~\n- [ ] `a1` x\n"), 0, ""),
    ("fence never closed", PANEL, checks(b"```\n- [ ] `hidden` x\n"), 7, "never closed"),
    ("no front matter", PANEL, b"- [ ] `a1` x\n", 1, "front matter"),
    ("front matter cut off", PANEL, b"---\npanel: a\n- [ ] `a1` x\n", 1, "no second"),
    ("key in tabs", PANEL, checks(b"- [ ] `a1` x\n\t- every: 50 h\n"), 0, ""),
    ("unknown key", PANEL, checks(b"- [ ] `a1` x\n  - evrey: 50 h\n"), 8, "did you mean `every`"),
    ("key twice", PANEL, checks(b"- [ ] `a1` x\n  - every: 50 h\n  - every: 60 h\n"), 9, "every"),
    ("no colon", PANEL, checks(b"- [ ] `a1` x\n  - every 50 h\n"), 8, ""),
    ("interval of nothing", PANEL, checks(b"- [ ] `a1` x\n  - every: 0 h\n"), 8, "every"),
    ("interval below nothing", PANEL, checks(b"- [ ] `a1` x\n  - every: -5 h\n"), 8, "every"),
    ("interval of ages", PANEL, checks(b"- [ ] `a1` x\n  - every: 99999999999 years\n"), 8, "every"),
    ("readings without end", PANEL, checks(b"- [ ] `a1` x\n  - reads: cylinder 1 to 999999999, psi\n"), 8, "reads"),
    ("a check after itself", PANEL, checks(b"- [ ] `a1` x\n  - after: a1\n"), 0, "a1"),
    ("the same check twice", PANEL, checks(b"- [ ] `a1` x\n- [ ] `a1` y\n"), 8, "a1"),
    ("an id of another file", PANEL, checks(b"- [ ] `oil-change` x\n"), 7, "oil-change"),
    ("conflict", PANEL, checks(b"<<<<<<< HEAD\n- [ ] `a1` x\n=======\n- [x] `a1` x\n>>>>>>> b\n"), 7, "conflict"),
    ("binary", PANEL, bytes(range(256)), 1, "NUL"),
    ("control character", PANEL, checks(b"- [ ] `a1` x\x1b[2Jy\n"), 7, "control character"),
    ("page without front matter", PAGE, b"- [x] `oil-change` x\n", 1, ""),
    ("page of an unknown check", PAGE, WORKSHEET_TEXT.replace(b"`oil-change`", b"`oil-chnage`"), 0, "oil-chnage"),
    ("page doubled", PAGE, WORKSHEET_TEXT * 2, 0, "F1"),
    ("page with two findings of one name", PAGE,
     WORKSHEET_TEXT + b"\n- [ ] `oil-change` x\n  - found: F1 a\n", 0, "F1"),
)  # fmt: skip

ROWS: tuple[Row, ...] = (*YAML, *MARKDOWN)
