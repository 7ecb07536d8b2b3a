"""Writes SVG: elements are trees and never glued text, so that whatever people typed stays text."""

import re
from collections.abc import Iterable
from pathlib import Path
from typing import TypeAlias
from xml.etree import ElementTree

Element: TypeAlias = ElementTree.Element
Value: TypeAlias = str | float | None

INK = Path(__file__).resolve().parent.parent / "static" / "inventory" / "ink.css"
NAMESPACE = "http://www.w3.org/2000/svg"
NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that XML 1.0 cannot hold (section 2.2)."""
WIDE = 6.3
"""Width of one character of 11 units' height, on average and rounded up. [unit]"""


def element(name: str, *children: "Element | str", cls: str = "", **attributes: Value) -> Element:
    """Return an element. In names of attributes ``_`` is written ``-``; an attribute that is None is left out."""
    made = ElementTree.Element(name)
    if cls:
        made.set("class", cls)
    for key, value in attributes.items():
        if value is not None:
            made.set(
                key.rstrip("_").replace("_", "-"), number(value) if isinstance(value, float | int) else _clean(value)
            )
    for child in children:
        append(made, child)
    return made


def append(parent: Element, *children: "Element | str") -> None:
    """Put elements and texts at the end of an element."""
    for child in children:
        if isinstance(child, str):
            last = parent[-1] if len(parent) else None
            if last is None:
                parent.text = (parent.text or "") + _clean(child)
            else:
                last.tail = (last.tail or "") + _clean(child)
        else:
            parent.append(child)


def text(x: float, y: float, words: str, cls: str = "") -> Element:
    return element("text", words, cls=cls, x=x, y=y)


def use(symbol: str, x: float, y: float, width: float, height: float, cls: str = "") -> Element:
    return element("use", cls=cls, href=f"#{symbol}", x=x, y=y, width=width, height=height)


def drawing(children: Iterable[Element], *, width: float, height: float, title: str, description: str) -> Element:
    """Return a whole drawing, with its title and description for those who do not see it."""
    return element(
        "svg",
        element("title", title),
        element("desc", description),
        *children,
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
    )


def alone(svg: Element, symbols: Iterable[Element]) -> str:
    """Return a drawing as a file of its own: with its strokes, its colours, and the symbols that it uses."""
    svg.set("xmlns", NAMESPACE)
    svg.insert(2, element("style", style()))
    svg.insert(3, element("defs", *symbols))
    return write(svg)


def style() -> str:
    """Return the strokes and colours of the drawings, as a style sheet."""
    return INK.read_text(encoding="utf-8")


def write(svg: Element) -> str:
    """Return the text of an element, fit for a page and for a file."""
    return ElementTree.tostring(svg, encoding="unicode")


def parse(own: str) -> Element:
    """Return the element of a text of our own."""
    return ElementTree.fromstring(own)  # noqa: S314 - only ever our own sprite


def number(value: float) -> str:
    """Return a coordinate as short as it can be said."""
    return f"{value:.1f}".rstrip("0").rstrip(".")


def width_of(words: str, *, size: float = 11) -> float:
    """Return about how wide a text will be, on the wide side. [unit]"""
    return len(words) * WIDE * size / 11


def shortened(words: str, most: int) -> str:
    """Return a text of at most so many characters; the whole of it belongs into a title."""
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


def _clean(words: str) -> str:
    return NOT_XML.sub("\N{REPLACEMENT CHARACTER}", words)
