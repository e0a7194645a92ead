"""The first page of what is handed over: headings, lines and links, as plain text and as HTML."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from html import escape
from urllib.parse import quote

from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Line:
    """One line; where ``place`` names a file below the page, it is a link to that."""

    words: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading with its lines."""

    title: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class IndexPage:
    """The page: its title, a few sentences, and headings in their order."""

    title: str
    says: tuple[str, ...]
    headings: tuple[Heading, ...]


def index_text(page: IndexPage) -> str:
    """The page for any reader of plain text; a link is the file's name behind its words."""
    return "\r\n".join([*_text_lines(page), ""])


def _text_lines(page: IndexPage) -> Iterator[str]:
    yield from (_plain(page.title), "=" * len(_plain(page.title)), "")
    yield from map(_plain, page.says)
    for heading in page.headings:
        title = _plain(heading.title)
        yield from ("", title, "-" * len(title))
        for line in heading.lines:
            yield f"- {_plain(line.words)}" + (f": {line.place}" if line.place else "")


def index_html(page: IndexPage) -> str:
    """The page as HTML of text and links alone: nothing is run, nothing comes from elsewhere."""
    return "\n".join([*_html_lines(page), ""])


def _html_lines(page: IndexPage) -> Iterator[str]:
    title = escape(_plain(page.title))
    yield "<!DOCTYPE html>"
    yield '<html lang="en">'
    yield f'<head><meta charset="utf-8"><title>{title}</title></head>'
    yield "<body>"
    yield f"<h1>{title}</h1>"
    yield from (f"<p>{escape(_plain(one))}</p>" for one in page.says)
    for heading in page.headings:
        yield f"<h2>{escape(_plain(heading.title))}</h2>"
        if heading.lines:
            yield from ("<ul>", *(f"<li>{_html(line)}</li>" for line in heading.lines), "</ul>")
    yield "</body>"
    yield "</html>"


def _html(line: Line) -> str:
    """As in the plain text, the file's name behind the words, so that a printed page tells it too."""
    words = escape(_plain(line.words))
    link = f'<a href="{escape(quote(line.place))}">{escape(line.place)}</a>'
    return f"{words}: {link}" if line.place else words


def _plain(text: str) -> str:
    """On one line, without controls, changes of direction, or halves of letters."""
    spaced = " ".join(text.split())
    return "".join(one for one in spaced if unicodedata.category(one) not in ("Cc", "Cf", "Cs"))
