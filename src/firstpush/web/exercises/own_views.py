"""The club's own exercises: shown, copied, taken in and handed over as files, taken back, withdrawn."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from firstpush.core.exercises.loader import library
from firstpush.web import access
from firstpush.web.access import MemberRequest, needs
from firstpush.web.errors import ChangedMeanwhileError
from firstpush.web.exercises.checking import Checked
from firstpush.web.exercises.models import OwnExercise
from firstpush.web.exercises.own import check_own, copied, save_checked, text_of_library
from firstpush.web.exercises.page import exercise_page
from firstpush.web.exercises.text_forms import NewFileForm, TextForm, add_file_faults


@needs("read")
@require_safe
def own_exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Show one exercise that the club wrote itself, with what the checks say of it."""
    own = access.own_exercise_for(request.user, slug)
    found = check_own(own, own.text)
    context = {"own": own, "checked": found, "versions": own.versions.select_related("made_by").order_by("-number")}
    if found.exercise is None:
        return render(request, "exercises/own_unreadable.html", context)
    return render(
        request,
        "exercises/one.html",
        exercise_page(request.user, found.exercise, request.GET, own=own) | context,
    )


@needs("write")
@require_POST
def copy_exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Make a copy that the club may change; it is used once it is saved and accepted."""
    if slug in library():
        text, title = text_of_library(slug), library()[slug].title
    else:
        source = access.own_exercise_for(request.user, slug)
        text, title = source.text, source.title
    own = copied(text, title=title, slug=slug.removeprefix("own_"), club=request.membership.club)
    own.save_text(own.text, accepted=False, by=request.user, why=f"copied from {title}")
    messages.success(request, f"Copied. Change {own.title}, then save it: the checks decide whether it may be used.")
    return redirect("change_exercise", slug=own.slug)


@needs("read")
@require_safe
def exercise_file(request: MemberRequest, slug: str) -> HttpResponse:
    """Hand over the file of an exercise."""
    text = text_of_library(slug) if slug in library() else access.own_exercise_for(request.user, slug).text
    response = HttpResponse(text, content_type="application/toml; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{slug}.toml"'
    return response


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def exercise_from_file(request: MemberRequest) -> HttpResponse:
    """Take in an exercise file; with faults it comes back as it was, each fault with its line."""
    form = NewFileForm(request.POST or None, request.FILES or None, club=request.membership.club)
    if request.method == "POST" and form.is_valid():
        own = OwnExercise(club=request.membership.club, slug=form.cleaned_data["slug"])
        found = save_checked(own, form.cleaned_data["text"], by=request.user, why="taken in from a file")
        if found.exercise is not None:
            return after_saving(request, own, found)
        add_file_faults(form, found.faults)
    status = 422 if form.errors else 200
    return render(request, "exercises/from_file.html", {"form": form.shown()}, status=status)


@needs("write")
@require_http_methods(["GET", "HEAD", "POST"])
def exercise_text(request: MemberRequest, slug: str) -> HttpResponse:
    """Change an own exercise as the text of its file."""
    own = access.own_exercise_for(request.user, slug, to="write")
    form = TextForm(request.POST or None, request.FILES or None, initial={"text": own.text, "based_on": own.version})
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            found = save_checked(own, given["text"], by=request.user, why=given["why"], based_on=given["based_on"])
            if found.exercise is not None:
                return after_saving(request, own, found)
            add_file_faults(form, found.faults)
        except ChangedMeanwhileError as error:
            form.add_error(None, str(error))
    status = 422 if form.errors else 200
    return render(request, "exercises/text.html", {"form": form.shown(), "own": own}, status=status)


@needs("write")
@require_POST
def take_back_exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Make an earlier version the newest again; nothing of what came between is lost."""
    own = access.own_exercise_for(request.user, slug, to="write")
    number = request.POST.get("number", "")
    version = get_object_or_404(own.versions, number=int(number) if number.isdecimal() and len(number) < 9 else 0)
    found = check_own(own, version.text)
    own.save_text(version.text, accepted=found.accepted, by=request.user, why=f"as version {version.number}")
    return after_saving(request, own, found)


@needs("write")
@require_POST
def withdraw_exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Take an own exercise out of use; it stays, and can be put back."""
    own = access.own_exercise_for(request.user, slug, to="write")
    own.withdraw()
    messages.success(request, f"{own.title} is withdrawn: new sessions leave it out.")
    return redirect("own_exercise", slug=own.slug)


@needs("write")
@require_POST
def put_back_exercise(request: MemberRequest, slug: str) -> HttpResponse:
    """Take a withdrawn exercise into use again."""
    own = access.own_exercise_for(request.user, slug, to="write")
    own.put_back()
    messages.success(request, f"{own.title} is put back.")
    return redirect("own_exercise", slug=own.slug)


def after_saving(request: MemberRequest, own: OwnExercise, found: Checked) -> HttpResponse:
    """Say what the checks said, and show the exercise."""
    if found.accepted:
        messages.success(request, f"Saved. The checks accept {own.title}: it can be used in sessions.")
    else:
        count = len(found.findings) + len(found.faults)
        things = "one thing" if count == 1 else f"{count} things"
        messages.warning(request, f"Saved, and not used in sessions: the checks found {things} wrong.")
    return redirect("own_exercise", slug=own.slug)
