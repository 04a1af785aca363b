"""Records that would act: in a browser no script of theirs runs and nothing is fetched; in a terminal nothing moves.

The browser is Chromium, started without a window; where there is none the tests of HTML are skipped and say so.
"""

import http.server
import re
import shutil
import subprocess
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from inspect_kit import rules
from tests.store.asking import acting, ask
from tests.store.scratch import AIRCRAFT, PAGE, WORKSHEET_TEXT, make_store

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
needs_browser = pytest.mark.skipif(BROWSER is None, reason="no Chromium is installed to open the HTML in")
SIGNER = "Sample Builder"

# HOST is a server of the test's own that counts who asks it.
ATTACKS = (
    "<script>document.title='OWNED'</script>",
    "<img src=x onerror=document.title='OWNED'>",
    "<img src=http://HOST/img>",
    "<svg onload=document.title='OWNED'>",
    "</td></table><iframe src=http://HOST/frame></iframe>",
    "<iframe srcdoc='<script>parent.document.title=1</script>'></iframe>",
    "<link rel=stylesheet href=http://HOST/css>",
    "<style>body{background:url(http://HOST/bg)}</style>",
    "</style><script>document.title='OWNED'</script>",
    "</title><script>document.title='OWNED'</script>",
    "--><script>document.title='OWNED'</script><!--",
    "]]><script>document.title='OWNED'</script>",
    "' onmouseover='document.title=1' autofocus onfocus='document.title=\"OWNED\"' x='",
    '\\" onload=\\"document.title=1',
    "<meta http-equiv=refresh content='0;url=http://HOST/meta'>",
    "<base href=http://HOST/>",
    "<object data=http://HOST/object></object>",
    "<form action=http://HOST/form><input autofocus onfocus=document.title='OWNED'></form>",
    "<a href=javascript:document.title='OWNED'>x</a>",
    "[x](javascript:alert(1)) ![x](http://HOST/md)",
    "&lt;script&gt;document.title='OWNED'&lt;/script&gt;",
    "[red]markup[/red] [link=http://HOST/rich]x[/link] :boom:",
    "=HYPERLINK('http://HOST/csv';'x')",
    "@SUM(1+1)*cmd|' /C calc'!A0",
)


class _Counting(http.server.BaseHTTPRequestHandler):
    asked: list[str]

    def do_GET(self) -> None:
        self.server.asked.append(self.path)  # type: ignore[attr-defined]
        self.send_response(200)
        self.end_headers()

    def log_message(self, *_: object) -> None:
        pass


@pytest.fixture
def server() -> Iterator[http.server.ThreadingHTTPServer]:
    listening = http.server.ThreadingHTTPServer(("127.0.0.1", 0), _Counting)
    listening.asked = []  # type: ignore[attr-defined]
    thread = threading.Thread(target=listening.serve_forever, daemon=True)
    thread.start()
    yield listening
    listening.shutdown()
    listening.server_close()


def attacks(host: str) -> list[str]:
    return [attack.replace("HOST", host) for attack in ATTACKS]


def hostile_store(folder: Path, host: str) -> Path:
    """Every text that a person can write anywhere is an attack: aircraft, checklist, page, finding, reading."""
    root = make_store(folder)
    one = attacks(host)
    text = "; ".join(word for word in one if "\\" not in word)
    quoted = text.replace("\\", "\\\\").replace('"', '\\"')
    codes = [code for code in rules.APPENDIX_D.codes if code != "d1"]
    absent = "".join(f'  {code}: "{quoted if code[0] == "a" else "none"}"\n' for code in codes)
    plane = AIRCRAFT.decode().replace("make: Turnstone", f'make: "{quoted}"')
    # In the statement no such text stands: `<script>` would be words that are still to be written.
    (root / "records/aircraft.yaml").write_text(f"{plane}not-applicable:\n{absent}")
    panel = root / "checklists/nose/cowl-upper.md"
    front = "\n".join(f'{key}: "{quoted}"' for key in ("name", "caution", "fasteners"))
    page = panel.read_text().replace("name: Upper cowling", front)
    page = page.replace("Baffles: cracks", f"Baffles {text}")
    panel.write_text(f"{page}  - covers: d1\n  - source: {text}\n  - caution: {text}\n  - tools: {one[1]}\n\n{text}\n")
    # What is commented out on a page counts for nothing there: it stands in the checklist and in the note alone.
    told = "; ".join(word for word in one if "\\" not in word and "<!--" not in word)
    sheet = WORKSHEET_TEXT.decode().replace("crack, 8 mm", f"crack {told}").replace("stop-drilled", f"stop {told}")
    # The words of the box are those of the checklist, attacks and all.
    sheet = sheet.replace("Baffles: cracks", f"Baffles {text}").replace("` Upper cowling", f"` {text}")
    sheet = sheet.replace("Change the oil\n", f"Change the oil\n  - note: {text}\n")
    sheet = sheet.replace("helpers: []", f'helpers: ["{told.replace(chr(34), chr(92) + chr(34))}"]')
    (root / PAGE).write_text(sheet)
    return root


def report_of(root: Path, target: Path) -> str:
    signed = ask(root, "sign", "--as", SIGNER, "--ink", f"p. 4 {attacks('x')[0]}", stdin=f"{SIGNER}\n")
    assert signed.code == 0, signed.err
    answer = ask(root, "report", "--to", str(target))
    assert answer.code == 0, answer.err
    return target.read_text()


def opened(page: Path, folder: Path) -> str:
    """The document as the browser has it once everything that would run has run."""
    assert BROWSER is not None
    quiet = [
        f"--user-data-dir={folder}",
        "--virtual-time-budget=3000",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
    ]
    done = subprocess.run(
        [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", *quiet, "--dump-dom", page.as_uri()],
        capture_output=True,
        check=False,
        timeout=90,
    )
    text = done.stdout.decode("utf-8", "replace")
    assert "</html>" in text, done.stderr.decode("utf-8", "replace")[-500:]
    return text


@needs_browser
def test_no_script_runs_and_nothing_is_fetched(tmp_path: Path, server: http.server.ThreadingHTTPServer) -> None:
    host = f"127.0.0.1:{server.server_address[1]}"
    html = report_of(hostile_store(tmp_path / "store", host), tmp_path / "report.html")
    assert html.count("OWNED") >= 20, "the attacks are not on the report"
    document = opened(tmp_path / "report.html", tmp_path / "browser")
    title = re.search(r"<title>([^<]*)</title>", document)
    assert title is not None
    assert title[1] != "OWNED"
    assert server.asked == []  # type: ignore[attr-defined]
    body = re.sub(r"<style>.*?</style>", "", document, flags=re.DOTALL)
    tags = {tag.lower() for tag in re.findall(r"<([a-zA-Z][a-zA-Z0-9]*)", body)}
    assert not tags & {"script", "img", "iframe", "link", "object", "form", "input", "base", "embed", "a"}, tags
    # A tag's own attributes, not the words of a text: text has no unescaped < in it.
    assert not re.findall(r"<[^<>]*\son[a-z]+\s*=", body)


@needs_browser
def test_the_same_attacks_do_act_where_nothing_stops_them(
    tmp_path: Path, server: http.server.ThreadingHTTPServer
) -> None:
    """The test of the test: unescaped, they run and fetch in this very browser."""
    host = f"127.0.0.1:{server.server_address[1]}"
    bare = tmp_path / "bare.html"
    bare.write_text("<html><head><title>x</title></head><body>" + "\n".join(attacks(host)[:7]) + "</body></html>")
    document = opened(bare, tmp_path / "browser")
    assert "<title>OWNED</title>" in document
    assert "/img" in server.asked  # type: ignore[attr-defined]


def test_the_html_forbids_what_it_does_not_need(tmp_path: Path) -> None:
    """Should an attack get past the escaping, the policy of the page itself still lets nothing run or load."""
    html = report_of(hostile_store(tmp_path / "store", "example.invalid"), tmp_path / "report.html")
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', html)
    assert policy is not None
    assert "default-src 'none'" in policy[1]
    assert "script-src" not in policy[1]
    assert "unsafe" not in policy[1]
    head = html[: html.index("</head>")]
    assert head.index("Content-Security-Policy") < head.index("<title>")


TERMINAL = (
    "\x1b[2J\x1b[31mred",
    "\x1b]0;title\x07",
    "\x1b]8;;http://x\x1b\\link",
    "\x9b31m",
    "a\rb",
    "\x08\x08",
    "\u202eabc",
)


def test_in_a_terminal_nothing_acts(tmp_path: Path) -> None:
    """As escapes in double quotes, which YAML allows, controls reach the nouns; they must not reach the terminal."""
    root = make_store(tmp_path / "store")
    for number, attack in enumerate(TERMINAL):
        escaped = "".join(f"\\u{ord(mark):04x}" for mark in attack)
        (root / f"records/2026/2026-11-2{number}-work-{number}.yaml").write_text(
            f'format: 1\nkind: work\ndate: 2026-11-2{number}\ndid: [oil-change]\ntext: "{escaped}"\n'
            f'at: "{escaped}"\npaper: "{escaped}"\nby: "{escaped}"\n'
        )
    asked = [("due",), ("history", "oil-change"), ("verify",), ("status",), ("due", "oil-change"), ("due", "--json")]
    asked += [("report", f"2026-11-2{number}-work-{number}") for number in range(len(TERMINAL))]
    for words in asked:
        answer = ask(root, *words)
        assert answer.code in (0, 1, 3), answer.err
        assert acting(answer.out) == [], words
        assert acting(answer.err) == [], words
    for ending in (".txt", ".md", ".html"):
        target = tmp_path / f"report{ending}"
        assert ask(root, "report", "2026-11-20-work-0", "--to", str(target)).code in (0, 3)
        assert acting(target.read_text()) == []


def test_what_is_typed_is_shown_inert_as_well(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    for attack in TERMINAL:
        for words in (("due", attack), ("history", attack), ("plan", attack), ("report", attack), ("hours", attack)):
            answer = ask(root, *words)
            assert answer.code == 2
            assert acting(answer.err) == []
            assert acting(answer.out) == []
