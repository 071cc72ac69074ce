"""A page as one HTML file for a phone: no script, nothing fetched from anywhere, light and dark as the phone is set.

HTML Living Standard; the policy in its head (Content Security Policy Level 3) forbids a browser to load anything. All
user text is escaped; each paragraph finds its own direction, and each Arabic name in it has its own (`directions`), so that
telephone numbers beside it stand as they are dialled.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import Final

from crewjobs.drawing.svg import drawing_svg
from crewjobs.paper import wording as say
from crewjobs.paper.directions import parts, unmarked
from crewjobs.paper.document import Block, Document, Entries, Entry, Line, Picture, Say, Section, Table
from crewjobs.paper.measures import kept_whole

_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
_STYLE: Final = """
:root { color-scheme: light dark; --ink: #111; --paper: #fff; --soft: #555; --rule: #999; --mark: #eee; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #eee; --paper: #161616; --soft: #b4b4b4; --rule: #777; --mark: #2b2b2b; }
}
* { box-sizing: border-box; }
body {
  margin: 0 auto; padding: 12px; max-width: 46rem; color: var(--ink); background: var(--paper);
  font: 17px/1.4 "IBM Plex Sans Condensed", "Roboto Condensed", system-ui, sans-serif; overflow-wrap: anywhere;
}
body.wide { max-width: 80rem; }
h1 { font-size: 1.5rem; line-height: 1.15; margin: 0; }
header { border-bottom: 3px solid var(--ink); padding-bottom: 6px; margin-bottom: 8px; }
header p { margin: 2px 0; }
header .aside { font-weight: 700; font-size: 1.15rem; }
h2 { font-size: 1.1rem; margin: 20px 0 6px; padding-bottom: 2px; border-bottom: 2px solid var(--ink); }
p { margin: 4px 0; }
ul { list-style: none; margin: 0; padding: 0; }
li { padding: 6px 0; border-bottom: 1px solid var(--rule); }
.lead { font-weight: 700; margin-inline-end: 8px; }
.tag { background: var(--ink); color: var(--paper); border-radius: 3px; padding: 0 5px; font-size: .8rem; font-weight: 700; }
.box { display: inline-block; width: 1em; height: 1em; border: 2px solid var(--ink); border-radius: 3px;
  vertical-align: -0.15em; margin-inline-end: 8px; }
.note { color: var(--soft); font-size: .95rem; margin: 2px 0 0 1.2rem; }
.strong { font-weight: 700; }
.answer { margin: 6px 0 0 1.2rem; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; }
th, td { text-align: start; vertical-align: top; padding: 5px 7px; border: 1px solid var(--rule); }
thead th { background: var(--mark); }
td p, th p { margin: 0 0 3px; }
td .small { color: var(--soft); font-size: .92rem; }
.wait { border-inline-start: 7px double var(--ink); padding-inline-start: 6px; font-size: .92rem; }
.ends { border-inline-start: 7px solid var(--ink); padding-inline-start: 6px; font-size: .92rem; font-weight: 700; }
figure { margin: 8px 0; background: #fff; color: #000; padding: 4px; overflow-x: auto; }
figure svg { max-width: 100%; height: auto; }
figcaption { font-weight: 700; }
footer { margin-top: 24px; border-top: 1px solid var(--ink); padding-top: 6px; color: var(--soft); font-size: .9rem; }
@media (max-width: 48rem) {
  colgroup { display: none; }
  table, tbody, tr, td, tbody th { display: block; width: 100%; border: 0; padding: 0; }
  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  tr { border: 1px solid var(--rule); margin: 0 0 10px; }
  tbody th { background: var(--mark); padding: 5px 7px; }
  td { padding: 5px 7px; }
  td:empty { display: none; }
  td[data-head]::before { content: attr(data-head); display: block; font-weight: 700; }
}
"""


def document_html(page: Document) -> str:
    """Return the page as one HTML file."""
    wide = ' class="wide"' if page.landscape else ""
    title, under = say.visible(page.title), "\n".join(_paragraph(line) for line in page.under)
    aside = _paragraph(page.aside, "aside") if page.aside else ""
    parts = "\n".join(part for block in page.blocks for part in _block(block))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_bare(title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body{wide}>\n"
        f'<header>\n<h1 dir="auto">{_text(title)}</h1>\n{aside}\n{under}\n</header>\n<main>\n{parts}\n</main>\n'
        f"<footer>{_paragraph(f'{page.foot} · printed {say.stamp(page.printed_at)}')}{_paragraph(page.newer)}</footer>\n"
        "</body>\n</html>\n"
    )


def _text(text: str) -> str:
    """Return user text escaped, measures unbroken, each part read from right to left set apart from what stands beside it."""
    cut = parts(say.visible(text))
    return "".join(f"<bdi>{escape(part)}</bdi>" if apart else escape(kept_whole(part)) for part, apart in cut)


def _bare(text: str) -> str:
    """Return user text where no element may stand: in an attribute or the title."""
    return escape(unmarked(say.visible(text)))


def _paragraph(text: str, kind: str = "") -> str:
    of_kind = f' class="{kind}"' if kind and kind != "plain" else ""
    return f'<p{of_kind} dir="auto">{_text(text)}</p>'


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Section):
        yield f'<h2 dir="auto">{_text(block.title)}</h2>'
    elif isinstance(block, Say):
        yield _paragraph(block.text, "strong" if block.strong else "")
    elif isinstance(block, Entries):
        yield "<ul>"
        yield from (_entry(entry) for entry in block.entries)
        yield "</ul>"
    elif isinstance(block, Table):
        yield from _table(block)
    elif isinstance(block, Picture):
        caption = f'<figcaption dir="auto">{_text(block.title)}</figcaption>'
        yield f"<figure>{caption}{_svg(block)}</figure>"


def _svg(picture: Picture) -> str:
    """Return the drawing itself; its own name would only be read out a second time."""
    return drawing_svg(picture.drawing, say.visible(picture.title))


def _entry(entry: Entry) -> str:
    box = '<span class="box"></span>' if entry.box else ""
    lead = f'<span class="lead">{_text(entry.lead)}</span>' if entry.lead else ""
    tag = f'<span class="tag">{_text(entry.tag)}</span> ' if entry.tag else ""
    strong = ' class="strong"' if entry.strong else ""
    words = f"<bdi{strong}>{_text(entry.text)}</bdi>"
    notes = "".join(_paragraph(note, "note") for note in entry.notes)
    answers = "".join(f'<p class="answer"><span class="box"></span>{_text(answer)}</p>' for answer in entry.answers)
    return f'<li dir="auto">{box}{lead}{tag}{words}{notes}{answers}</li>'


def _table(table: Table) -> Iterator[str]:
    whole = sum(table.shares)
    columns = "".join(f'<col style="width: {100 * share / whole:.1f}%">' for share in table.shares)
    heads = "".join(f'<th dir="auto">{_text(head)}</th>' for head in table.heads)
    yield f"<table>\n<colgroup>{columns}</colgroup>\n<thead><tr>{heads}</tr></thead>"
    yield "<tbody>"
    for row in table.rows:
        name, *cells = row
        told = "".join(
            f'<td data-head="{_bare(head)}">{_lines(cell)}</td>' if cell else "<td></td>"
            for head, cell in zip(table.heads[1:], cells, strict=True)
        )
        yield f"<tr><th>{_lines(name)}</th>{told}</tr>"
    yield "</tbody>\n</table>"


def _lines(cell: tuple[Line, ...]) -> str:
    return "".join(_paragraph(line.text, line.kind) for line in cell)
