"""Typing in the ticked sheet afterwards."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from firstpush.web.access import MemberRequest, needs
from firstpush.web.oncourt.entries import keep
from firstpush.web.oncourt.models import CameBy
from firstpush.web.oncourt.package import can_be_packed
from firstpush.web.oncourt.paper_form import PaperForm
from firstpush.web.oncourt.sender import sender_of
from firstpush.web.sessions.print_views import version_for


@needs("sheet")
@require_http_methods(["GET", "HEAD", "POST"])
def paper(request: MemberRequest, id_: int, number: int) -> HttpResponse:
    """Ask for what was ticked, and keep it as entries."""
    version = version_for(request, id_, number)
    if not can_be_packed(version):
        raise Http404
    form = PaperForm(request.POST if request.method == "POST" else None, version=version)
    if request.method == "POST" and form.is_valid():
        answer = keep(form.texts(), sender_of(request.user), came_by=CameBy.PAPER)
        if answer.conflicts or answer.refused:
            messages.warning(
                request, "Part of this sheet was typed in before, and otherwise: the new part is set aside."
            )
        else:
            messages.success(request, "The sheet is typed in." if answer.new else "This sheet was typed in already.")
        return redirect("plan", id_=version.plan_id)
    context = {"form": form, "version": version, "plan": version.plan}
    return render(request, "oncourt/paper.html", context, status=422 if form.errors else 200)
