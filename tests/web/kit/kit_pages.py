"""What a browser would send back of an entry page."""

from __future__ import annotations

from typing import Any

from django.test import Client


def sent_by(client: Client, url: str) -> dict[str, Any]:
    """Open `url` and return every field of its form with what stands in it."""
    response = client.get(url)
    assert response.status_code == 200, url
    entry = response.context["entry"]
    forms = [entry.form, *(each for rows in entry.rows.values() for each in (rows.management_form, *rows.forms))]
    found = {field.html_name: field.value() for form in forms for field in form}
    # Values as the widget writes them: nothing is an empty field.
    return {name: "" if value is None else value for name, value in found.items()}


def text_of(response: Any) -> str:
    """Return the page as text."""
    text: str = response.content.decode()
    return text
