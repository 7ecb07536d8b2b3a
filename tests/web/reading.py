"""What a test reads of a page: its markup without the gaps of the templates, or the words that a person sees."""

import re

from django.http import HttpResponse

BLOCKS = (
    "article|aside|body|button|caption|col|dd|details|div|dl|dt|fieldset|figcaption|figure|footer|form|g|h1|h2|h3|head|"
    "header|html|input|legend|li|line|link|main|meta|nav|ol|optgroup|option|p|path|rect|section|select|summary|svg|"
    "table|tbody|td|tfoot|th|thead|title|tr|ul|use"
)
GAP = re.compile(rf"\s*(</?(?:{BLOCKS})\b[^>]*>|<br>)\s*")


def text(answer: HttpResponse) -> str:
    """Return the markup with single spaces, and none beside elements where a browser draws none."""
    return GAP.sub(r"\1", " ".join(answer.content.decode().split()))


def words(answer: HttpResponse) -> str:
    """Return the words between the tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())
