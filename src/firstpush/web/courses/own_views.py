"""The club's own courses: written as tables, changed, taken back to an earlier version, withdrawn and put back."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from firstpush.core.errors import FirstpushError, InputFileError
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.courses.models import OwnCourse
from firstpush.web.courses.own_form import OwnCourseForm
from firstpush.web.errors import ChangedMeanwhileError


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def new_course(request: MemberRequest) -> HttpResponse:
    """Write a new course; core checks it, and what is wrong stands beside its field."""
    form = OwnCourseForm(request.POST if request.method == "POST" else None)
    return _written(request, OwnCourse(club=request.membership.club), form)


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def change_course(request: MemberRequest, id_: int) -> HttpResponse:
    """Change an own course: another version is added."""
    own = access.course_for(request.user, id_, to="write")
    sent = request.POST if request.method == "POST" else None
    return _written(request, own, OwnCourseForm(sent, document=own.document, based_on=own.version))


@needs("write")
@require_POST
def take_back_course(request: MemberRequest, id_: int) -> HttpResponse:
    """Make an earlier version the newest again; nothing of what came between is lost."""
    own = access.course_for(request.user, id_, to="write")
    number = request.POST.get("number", "")
    version = get_object_or_404(own.versions, number=int(number) if number.isdecimal() and len(number) < 9 else 0)
    own.save_document(version.document, by=request.user, why=f"as version {version.number}")
    messages.success(request, f"{own} is as it was in version {version.number}.")
    return redirect("course", slug=own.slug)


@needs("write")
@require_POST
def withdraw_course(request: MemberRequest, id_: int) -> HttpResponse:
    """Take an own course out of use; it stays, and can be put back."""
    own = access.course_for(request.user, id_, to="write")
    own.withdraw()
    messages.success(request, f"{own} is withdrawn: it stands apart in the list.")
    return redirect("course", slug=own.slug)


@needs("write")
@require_POST
def put_back_course(request: MemberRequest, id_: int) -> HttpResponse:
    """Take a withdrawn course into use again."""
    own = access.course_for(request.user, id_, to="write")
    own.put_back()
    messages.success(request, f"{own} is put back.")
    return redirect("course", slug=own.slug)


def _written(request: MemberRequest, own: OwnCourse, form: OwnCourseForm) -> HttpResponse:
    more = "more" in request.POST
    if form.is_bound and not more and form.is_valid() and _saved(request, own, form):
        messages.success(request, f"Saved. {own} can be laid out below.")
        return redirect("course", slug=own.slug)
    if more:
        # More rows were asked for: what is not filled in yet is no fault.
        form = _unjudged(form)
    return render(request, "courses/own.html", {"form": form, "own": own}, status=422 if form.errors else 200)


def _unjudged(form: OwnCourseForm) -> OwnCourseForm:
    """Return the form with all that was typed, and nothing said about it."""
    typed = {name: form[name].value() for name in form.fields}
    shown = OwnCourseForm(based_on=typed.get("based_on"))
    shown.counts, shown.fields = form.counts, form.fields
    shown.initial = typed
    return shown


def _saved(request: MemberRequest, own: OwnCourse, form: OwnCourseForm) -> bool:
    """Save what was typed; False where core or another person stands against it, which the form then says."""
    given = form.cleaned_data
    try:
        own.save_document(
            form.document(), by=request.user, based_on=given.get("based_on"), why=given.get("why") or "written"
        )
    except InputFileError as error:
        form.add_faults(error)
    except (FirstpushError, ChangedMeanwhileError) as error:
        words = str(error)
        form.add_error(None, words[:1].upper() + words[1:])
    else:
        return True
    return False
