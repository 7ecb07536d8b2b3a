"""What somebody looks for, as typed into an address."""

from django.http import HttpRequest

LONGEST = 200


def sought_words(request: HttpRequest) -> str:
    """Return what ``?q=`` says, without what no database holds."""
    return request.GET.get("q", "").replace("\x00", "").strip()[:LONGEST]
