"""What a browser would send back of a form, read from its page."""

from __future__ import annotations

from html.parser import HTMLParser


class _FormReader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.sent: list[tuple[str, str]] = []
        self._select: str | None = None
        self._chosen: str | None = None
        self._area: tuple[str, list[str]] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        name = given.get("name", "")
        if tag == "input" and name:
            if given.get("type") != "checkbox" or "checked" in given:
                self.sent.append((name, given.get("value", "on")))
        elif tag == "textarea":
            self._area = (name, [])
        elif tag == "select":
            self._select, self._chosen = name, None
        elif tag == "option" and self._select is not None and (self._chosen is None or "selected" in given):
            self._chosen = given.get("value", "")

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area[1].append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "select" and self._select is not None:
            self.sent.append((self._select, self._chosen or ""))
            self._select = None
        elif tag == "textarea" and self._area is not None:
            self.sent.append((self._area[0], "".join(self._area[1])))
            self._area = None


def sent_by(page: str) -> dict[str, list[str]]:
    """Return what the fields of `page` hold, by name; buttons are left out."""
    reader = _FormReader()
    reader.feed(page)
    found: dict[str, list[str]] = {}
    for name, value in reader.sent:
        found.setdefault(name, []).append(value)
    return found
