"""The first account, and the colleagues of the club."""

from __future__ import annotations

from allauth.account.utils import perform_login
from django.contrib import messages
from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_http_methods, require_POST

from firstpush.web import access
from firstpush.web.access import MemberRequest, needs, open_to_all
from firstpush.web.club.forms import ColleagueForm, FirstAccountForm, NewPasswordForm, is_last_owner, withdraw
from firstpush.web.club.models import Account

NO_LONGER_OPEN = (
    "That address is used up, too old or not whole: "
    "log in with a name and a password from the terminal, or start the demo again for a new one."
)


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


# HEAD is refused before it is looked at: what only asks whether a page is there uses nothing up.
@open_to_all
@cache_control(no_store=True)
@require_http_methods(["GET"])
def arrive(request: HttpRequest, token: str) -> HttpResponse:
    """Log the owner of the demo in without a password, once; else say so on the log-in page."""
    account = access.arriving_account(token)
    if account is not None:
        # The list of logins keeps the address that was asked for, which is a secret here.
        request.META["PATH_INFO"] = reverse("account_login")
        # Django keeps the key where the same account is logged in already.
        request.session.cycle_key()
        response: HttpResponse = perform_login(request, account, redirect_url=reverse("training_day"))
    elif request.user.is_authenticated:
        response = redirect("training_day")
    else:
        messages.error(request, NO_LONGER_OPEN)
        response = redirect("account_login")
    response["Referrer-Policy"] = "no-referrer"
    return response


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
