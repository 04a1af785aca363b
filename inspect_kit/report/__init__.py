"""What to say (a page of a few plain blocks), then on which paper: terminal, HTML, Markdown, text; and JSON.

    page = due_page(answer)             a pure function from nouns and answers to blocks
    terminal.show(page, console)        html.render(page)        markdown.render(page)        plain.render(page, 100)
    json_text(due_json(answer))         built from the facts, never from a page

Reads nouns and answers, never the store.
"""

from inspect_kit.late import fetch_late

fetch_late(__name__, __file__)
