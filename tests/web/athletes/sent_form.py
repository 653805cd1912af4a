"""What a browser would send of a page: the values of its form, read with the parser of the standard library."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any


class _Form(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.values: dict[str, Any] = {}
        self._select = ""
        self._text = ""

    def _add(self, name: str, value: str) -> None:
        if name in self.values and name != self._text:
            kept = self.values[name]
            self.values[name] = [*(kept if isinstance(kept, list) else [kept]), value]
        else:
            self.values[name] = value

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        name = given.get("name") or ""
        if tag == "select":
            self._select = name
        elif tag == "option" and "selected" in given:
            self.values[self._select] = given.get("value") or ""
        elif tag == "textarea":
            self._text = name
            self.values[name] = ""
        elif tag == "input" and name and given.get("type") != "file":
            ticked = given.get("type") not in ("checkbox", "radio") or "checked" in given
            if ticked and name != "csrfmiddlewaretoken":
                self._add(name, given.get("value") or "")

    def handle_data(self, data: str) -> None:
        if self._text:
            self.values[self._text] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            self._text = ""


def values_of(page: str) -> dict[str, Any]:
    """Return name and value of every field of the one form of `page`."""
    form = _Form()
    form.feed(page[page.index('<form method="post"') :])
    return form.values
