"""The first steps of a club on any page."""

from __future__ import annotations

from typing import Any

from django import template
from django.template.context import RequestContext

from firstpush.web.first_steps import steps_shown

register = template.Library()


@register.inclusion_tag("parts/first_steps.html", takes_context=True)
def first_steps(context: RequestContext) -> dict[str, Any]:
    """Draw the first three steps; nothing once a club has done them."""
    request = context["request"]
    return {"may": context["may"], **steps_shown(request.user, back=request.get_full_path())}
