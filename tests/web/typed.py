"""What the controls of a page hold, as a browser would send them."""

from html.parser import HTMLParser


class _Controls(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.held: dict[str, str] = {}
        self._name = ""
        """Of the control that is open."""
        self._is_text = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        name = given.get("name") or ""
        if tag == "input" and name:
            if given.get("type") not in {"checkbox", "radio"} or "checked" in given:
                self.held[name] = given.get("value") or ""
        elif tag in {"select", "textarea"}:
            self._name, self._is_text = name, tag == "textarea"
            self.held[name] = ""
        elif tag == "option" and self._name and "selected" in given:
            self.held[self._name] = given.get("value") or ""

    def handle_endtag(self, tag: str) -> None:
        if tag in {"select", "textarea"}:
            self._name, self._is_text = "", False

    def handle_data(self, data: str) -> None:
        if self._is_text:
            self.held[self._name] += data


def typed(page: str) -> dict[str, str]:
    """Return name → value of everything that the forms of a page would send."""
    controls = _Controls()
    controls.feed(page)
    return {name: value.removeprefix("\n").removeprefix("\r\n") for name, value in controls.held.items() if name != "q"}
