"""What a test reads of a page: its markup without the gaps of the templates, or the words that a person sees."""

import re

from django.http import HttpResponse

BLOCKS = (
    "article|aside|body|button|caption|col|dd|details|div|dl|dt|fieldset|figcaption|figure|footer|form|g|h1|h2|h3|head|"
    "header|html|input|legend|li|line|link|main|meta|nav|ol|optgroup|option|p|path|rect|section|select|summary|"
    "table|tbody|td|tfoot|th|thead|title|tr|ul|use"
)
TYPED = re.compile(r"(<textarea.*?</textarea>)", re.DOTALL)
GAP = re.compile(rf"\s*(</?(?:{BLOCKS})\b[^>]*>|<br>)\s*")


def text(answer: HttpResponse) -> str:
    """Return the markup with single spaces, and none beside blocks; what is typed into a form stays as it is."""
    parts = TYPED.split(answer.content.decode())
    return "".join(part if TYPED.match(part) else _without_gaps(part) for part in parts)


def words(answer: HttpResponse) -> str:
    """Return the words between the tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def _without_gaps(markup: str) -> str:
    return GAP.sub(r"\1", re.sub(r"\s+", " ", markup))
