"""The pages under ``/docs/``: one Markdown file for each theme, read once and kept."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from markdown_it import MarkdownIt
from markdown_it.common.utils import escapeHtml
from markdown_it.token import Token

FOLDER = Path(__file__).parent / "docs"


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One theme. The first line of the file is its title, the first paragraph its summary."""

    slug: str
    title: str
    summary: str
    body: SafeString


@cache
def documents() -> dict[str, Document]:
    """Return the documents by slug, in the order of their file names (``10-findings.md`` has the slug ``findings``)."""
    found = [_read(path) for path in sorted(FOLDER.glob("*.md"))]
    return {document.slug: document for document in found}


def _read(path: Path) -> Document:
    text = path.read_text(encoding="utf-8")
    title, summary = [part.strip() for part in text.split("\n\n", 2)[:2]]
    # Raw HTML stays off, so that a document cannot carry what the pages' policy forbids.
    markdown = MarkdownIt("commonmark", {"html": False}).enable("table")
    markdown.add_render_rule("fence", _arithmetic)
    body = markdown.render(text)
    return Document(
        slug=path.stem.split("-", 1)[1],
        title=title.removeprefix("# "),
        summary=" ".join(summary.split()),
        body=mark_safe(body),  # noqa: S308 - from our own file, escaped by the renderer
    )


def _arithmetic(_: Any, tokens: Sequence[Token], number: int, *rest: object) -> str:
    """Draw lines that stand as they were written: on a phone they scroll sideways, by keyboard too."""
    return f'<pre tabindex="0"><code>{escapeHtml(tokens[number].content)}</code></pre>\n'
