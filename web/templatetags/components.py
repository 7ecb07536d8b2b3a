"""The tags that draw figures. Each takes the dataclass of its component; ``/components/`` shows them all."""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any

from django import template
from django.forms import BoundField
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from inventory.drawings.symbols import sprite_text
from inventory.drawings.tape import Tape
from web.components import bars
from web.components.findings import Finding
from web.components.history import HistoryLine
from web.components.severity import MARKS
from web.components.spans import dated
from web.components.tags import TagModel
from web.components.verdicts import Verdict
from web.forms import PageForm

register = template.Library()


@register.simple_tag
def symbols(*names: str) -> SafeString:
    """Put the named symbols into the page, once, for figures to refer to."""
    return format_html(
        '<svg class="visually-hidden" width="0" height="0" aria-hidden="true" focusable="false"><defs>{}</defs></svg>',
        mark_safe(sprite_text(*names)),  # noqa: S308 - our own sprite
    )


@register.simple_tag
def mark(severity: str) -> SafeString:
    """Draw the shape of a severity without its word; the words have to stand beside it."""
    known = MARKS[severity]
    return format_html('<svg class="icon {}" aria-hidden="true"><use href="#{}"/></svg>', known.colour, known.symbol)


@register.simple_tag
def moment(at: datetime) -> SafeString:
    """Write a moment where the company is, and to the second for programs that read the page."""
    here = timezone.localtime(at)
    return format_html('<time datetime="{}">{}</time>', here.isoformat(timespec="seconds"), dated(here, "j M H:i"))


@register.inclusion_tag("web/components/severity.html")
def severity(name: str, count: int | None = None) -> dict[str, Any]:
    """Draw a severity: shape and word, or shape and how many."""
    return {"mark": MARKS[name], "words": MARKS[name].words(count)}


@register.inclusion_tag("web/components/severity.html")
def sign(name: str, words: str) -> dict[str, Any]:
    """Draw the shape of a severity beside words of one's own."""
    return {"mark": MARKS[name], "words": words}


@register.inclusion_tag("web/components/field.html")
def field(bound: BoundField) -> dict[str, Any]:
    """Draw a field: label, input, what it takes, what was wrong."""
    return {"field": bound}


@register.inclusion_tag("web/components/form_errors.html", name="errors")
def draw_errors(form: PageForm, since: Sequence[HistoryLine] = (), again: str = "") -> dict[str, Any]:
    """Say above a form what was refused, what others changed meanwhile, or that it was kept while signing in.

    ``again`` says what sending it again does after a change by others, where that is not adding to it.
    """
    return {"form": form, "since": since, "again": again}


@register.simple_block_tag(name="empty_state")
def draw_empty(content: str, title: str, address: str = "", button: str = "") -> str:
    """Tell what to do first where nothing is entered yet: ``content`` in words, and one button or none."""
    empty = {"title": title, "words": content, "address": address, "button": button}
    return render_to_string("web/components/empty.html", empty)


@register.filter
def percent(value: float) -> str:
    """Write a share of the width as SVG takes it."""
    return bars.percent(value)


@register.inclusion_tag("web/components/bar.html", name="bar")
def draw_bar(bar: bars.Bar) -> dict[str, Any]:
    """Draw a figure against its limit."""
    return {"bar": bar}


@register.inclusion_tag("web/components/tag.html", name="tag")
def draw_tag(tag: TagModel) -> dict[str, Any]:
    """Draw a unit's tag."""
    return {"tag": tag}


@register.inclusion_tag("web/components/tape.html", name="tape")
def draw_tape(tape: Tape, words: str) -> dict[str, Any]:
    """Draw a strip of tape: the colour that people gave a lead, and words."""
    return {"tape": tape, "words": words}


@register.inclusion_tag("web/components/verdict.html", name="verdict")
def draw_verdict(verdict: Verdict) -> dict[str, Any]:
    """Draw a verdict: the severity with its count, or how far the check is."""
    return {"verdict": verdict, "mark": MARKS[verdict.severity]}


@register.inclusion_tag("web/components/finding.html", name="finding")
def draw_finding(
    finding: Finding, kit_address: str = "", wiring_address: str = "", *, may_accept: Collection[str] = ()
) -> dict[str, Any]:
    """Draw a finding as a row that opens its arithmetic."""
    return {
        "finding": finding,
        "kit_address": kit_address,
        "wiring_address": wiring_address,
        "may_accept": finding.accept_verb in may_accept,
        "verbs": may_accept,
    }
