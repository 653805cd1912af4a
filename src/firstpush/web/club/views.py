"""The first account, and the colleagues of the club."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs, open_to_all
from firstpush.web.club.forms import ColleagueForm, FirstAccountForm, NewPasswordForm, is_last_owner, withdraw
from firstpush.web.club.models import Account


@open_to_all
@require_http_methods(["GET", "POST"])
def first_account(request: HttpRequest) -> HttpResponse:
    """Ask for the club and its owner; gone as soon as there is one."""
    if Account.objects.exists():
        raise Http404
    form = FirstAccountForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        account = form.save()
        if account is None:
            raise Http404
        login(request, account, backend="allauth.account.auth_backends.AuthenticationBackend")
        return redirect("training_day")
    return render(request, "club/first_account.html", {"form": form}, status=422 if form.errors else 200)


@needs("own")
@require_http_methods(["GET", "POST"])
def colleagues(request: MemberRequest) -> HttpResponse:
    """List the accounts of the club, and add one."""
    form = ColleagueForm(request.POST or None, club=request.membership.club)
    if request.method == "POST" and form.is_valid():
        member = form.save()
        messages.success(request, f"{member.account.username} can log in now. Hand over the first password in person.")
        return redirect("colleagues")
    members = access.members_for(request.user)
    return render(
        request, "club/colleagues.html", {"form": form, "members": members}, status=422 if form.errors else 200
    )


@needs("own")
@require_POST
def withdraw_colleague(request: MemberRequest, id_: int) -> HttpResponse:
    """Close an account; the last owner's stays."""
    member = access.member_for(request.user, id_)
    if is_last_owner(member):
        messages.error(request, "This account stays open: without an owner nobody could manage the club.")
    else:
        withdraw(member)
        messages.success(request, f"{member.account.username} can no longer log in. What they made keeps their name.")
    return redirect("colleagues")


@needs("own")
@require_http_methods(["GET", "POST"])
def new_password(request: MemberRequest, id_: int) -> HttpResponse:
    """Set another first password for somebody who forgot theirs."""
    member = access.member_for(request.user, id_)
    form = NewPasswordForm(request.POST or None, member=member)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{member.account.username} has a new password. Hand it over in person.")
        return redirect("colleagues")
    context = {"form": form, "member": member}
    return render(request, "club/new_password.html", context, status=422 if form.errors else 200)


@access.for_any_account
def account(request: HttpRequest) -> HttpResponse:
    """Show what somebody can do about the own account."""
    return render(request, "club/account.html")
