"""Numbers without zeros that nobody measured."""

from __future__ import annotations

from django import template

register = template.Library()


@register.filter
def plain(value: float | None) -> str:
    """Return `value` with no more digits than it was given with."""
    return "" if value is None else f"{value:.10g}"


@register.filter
def percent(value: float) -> str:
    """Return a fraction as a percentage, without its sign."""
    return f"{100 * value:.10g}"
