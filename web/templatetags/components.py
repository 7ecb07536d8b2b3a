"""The tags that draw figures. Each takes the dataclass of its component; ``/components/`` shows them all."""

from typing import Any

from django import template
from django.forms import BoundField
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from inventory.drawings.symbols import sprite_text
from web.components.severity import MARKS

register = template.Library()


@register.simple_tag
def symbols(*names: str) -> SafeString:
    """Put the named symbols into the page, once, for figures to refer to."""
    return format_html(
        '<svg class="vh" width="0" height="0" aria-hidden="true" focusable="false"><defs>{}</defs></svg>',
        mark_safe(sprite_text(*names)),  # noqa: S308 - our own sprite
    )


@register.simple_tag
def mark(severity: str) -> SafeString:
    """Draw the shape of a severity without its word; the words have to stand beside it."""
    known = MARKS[severity]
    return format_html('<svg class="g {}" aria-hidden="true"><use href="#{}"/></svg>', known.colour, known.symbol)


@register.inclusion_tag("web/components/severity.html")
def severity(name: str, count: int | None = None) -> dict[str, Any]:
    """Draw a severity: shape and word, or shape and how many."""
    return {"mark": MARKS[name], "words": MARKS[name].words(count)}


@register.inclusion_tag("web/components/field.html")
def field(bound: BoundField) -> dict[str, Any]:
    """Draw a field: label, input, what it takes, what was wrong."""
    return {"field": bound}
