"""What can be done with a stored cupboard or venue as a whole: history, copy, file."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from firstpush.core.errors import InputFileError
from firstpush.web.access import MemberRequest, needs
from firstpush.web.first_steps import back_of
from firstpush.web.kit import stored
from firstpush.web.kit.stored import FILE_WORDS, FileForm, Record, What


@needs("read")
@require_safe
def history(request: MemberRequest, id_: int, what: What) -> HttpResponse:
    """List every version with who made it, when, why, and what changed."""
    record = stored.record_for(request.user, what, id_)
    context = {"record": record, "what": what, "entries": stored.history_of(record)}
    return render(request, "kit/history.html", context)


@needs("write")
@require_POST
def restore(request: MemberRequest, id_: int, number: int, what: What) -> HttpResponse:
    """Save an earlier version as the newest."""
    record = stored.record_for(request.user, what, id_, to="write")
    if not stored.restore(record, number, by=request.user):
        raise Http404
    messages.success(
        request, f"{record.name} is as it was in version {number}. What came after it stays in the history."
    )
    return redirect(what, id_)


@needs("write")
@require_POST
def copy(request: MemberRequest, id_: int, what: What) -> HttpResponse:
    """Copy a cupboard or venue, to change the copy."""
    record = stored.record_for(request.user, what, id_, to="write")
    taken = {each.name for each in stored.records_for(request.user, what)}
    made = stored.copy_of(record, by=request.user, taken=taken)
    messages.success(request, f"This is the copy. It is called “{made.name}” until you change that.")
    return redirect(what, made.pk)


@needs("write")
@require_POST
def use(request: MemberRequest, id_: int, what: What) -> HttpResponse:
    """Take a cupboard or venue out of use, or into use again."""
    record = stored.record_for(request.user, what, id_, to="write")
    if record.withdrawn_at is None:
        record.withdraw()
        messages.success(request, f"{record.name} is out of use: it is offered for no session.")
    else:
        record.put_back()
        messages.success(request, f"{record.name} is in use again.")
    return redirect(what, id_)


@needs("read")
@require_safe
def file(request: MemberRequest, id_: int, what: What) -> HttpResponse:
    """Give a cupboard or venue out as its file."""
    record = stored.record_for(request.user, what, id_)
    text = stored.file_text(record, in_use="in-use" in request.GET)
    response = HttpResponse(text, content_type="application/toml; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{stored.file_name(record, what)}"'
    return response


@needs("write")
@require_http_methods(["GET", "POST"])
def new_from_file(request: MemberRequest, what: What) -> HttpResponse:
    """Take in a file as another cupboard or venue."""
    return _from_file(request, stored.new_record(what, request.membership.club), what)


@needs("write")
@require_http_methods(["GET", "POST"])
def from_file(request: MemberRequest, id_: int, what: What) -> HttpResponse:
    """Take in a file as the next version of a cupboard or venue."""
    return _from_file(request, stored.record_for(request.user, what, id_, to="write"), what)


def _from_file(request: MemberRequest, record: Record, what: What) -> HttpResponse:
    """Show the form; a file with faults comes back as text, beside all of them, and nothing is saved."""
    form = FileForm(request.POST, request.FILES) if request.method == "POST" else FileForm()
    context: dict[str, Any] = {"form": form, "record": record, "what": what, "word": FILE_WORDS[what]}
    if request.method == "POST" and form.is_valid():
        text = form.cleaned_data["text"]
        try:
            document = stored.read_file(what, text, name=form.name)
        except InputFileError as error:
            context |= {"form": FileForm(initial={"text": text}), "faults": stored.shown_faults(error, text)}
        else:
            record.save_document(document, by=request.user, why=f"taken in from {form.name}")
            messages.success(request, f"{record.name} is taken in.")
            back = back_of(request)
            return redirect(what, record.pk) if back is None else redirect(back)
    wrong = request.method == "POST"
    return render(request, "kit/from_file.html", context, status=422 if wrong else 200)
