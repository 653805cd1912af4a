"""Forms of the first account and of colleagues."""

from __future__ import annotations

import hmac
from typing import Any, cast

from allauth.mfa.models import Authenticator
from django import forms
from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account, Club, Membership, Role


class _Password(forms.Form):
    password = forms.CharField(
        label="Password", strip=False, widget=forms.PasswordInput(attrs={"autocomplete": "new-password"})
    )
    password_again = forms.CharField(
        label="Password again", strip=False, widget=forms.PasswordInput(attrs={"autocomplete": "new-password"})
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["password"].help_text = "12 characters or more; a few words in a row are good"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        password, again = cleaned.get("password"), cleaned.get("password_again")
        if password and again and password != again:
            self.add_error("password_again", "The two are not the same. Enter the password twice alike.")
        if password:
            try:
                validate_password(password, Account(username=cleaned.get("username", "")))
            except ValidationError as error:
                self.add_error("password", error)
        return cleaned


class _WithPassword(_Password):
    username = forms.CharField(
        max_length=60,
        label="Name to log in with",
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
    )

    def clean_username(self) -> str:
        username: str = self.cleaned_data["username"]
        Account.username_validator(username)
        if Account.objects.filter(username__iexact=username).exists():
            raise ValidationError("This name is taken. Choose another, such as first name and club.")
        return username


class FirstAccountForm(_WithPassword):
    """The club and its owner."""

    club = forms.CharField(max_length=120, label="Name of the club")
    code = forms.CharField(label="Code from the terminal", help_text="firstpush serve printed it when it started")
    field_order = ("club", "username", "password", "password_again", "code")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not settings.FIRST_CODE:
            del self.fields["code"]

    def clean_code(self) -> str:
        """Whoever can read the terminal is the owner; on a network anybody else could come first."""
        code: str = self.cleaned_data["code"]
        if not hmac.compare_digest(code.strip().encode(), settings.FIRST_CODE.encode()):
            raise ValidationError("This is not the code. Look at the terminal where firstpush serve runs.")
        return code

    def save(self) -> Account | None:
        """Make the club and its owner; None when somebody else was first."""
        with transaction.atomic():
            if Account.objects.exists():
                return None
            account = Account.objects.create_user(self.cleaned_data["username"], password=self.cleaned_data["password"])
            club = Club.objects.create(name=self.cleaned_data["club"])
            Membership.objects.create(account=account, club=club, role=Role.OWNER)
        return account


class ColleagueForm(_WithPassword):
    """Another account of the club."""

    role = forms.ChoiceField(choices=Role, initial=Role.COLLEAGUE, widget=forms.RadioSelect, label="What they may do")
    athlete = forms.ModelChoiceField(
        AthleteRecord.objects.none(),
        required=False,
        label="Athlete",
        empty_label="none",
        help_text="whose sheets an athlete's account shows",
    )
    field_order = ("username", "role", "athlete", "password", "password_again")

    def __init__(self, *args: Any, club: Club, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._club = club
        choice = cast("forms.ModelChoiceField[AthleteRecord]", self.fields["athlete"])
        choice.queryset = AthleteRecord.objects.filter(club=club, withdrawn_at=None, membership=None)
        self.fields["password"].label = "First password"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        is_athlete, athlete = cleaned.get("role") == Role.ATHLETE, cleaned.get("athlete")
        if is_athlete and athlete is None:
            self.add_error("athlete", "An athlete's account shows one athlete's sheets. Choose the athlete.")
        elif not is_athlete and athlete is not None:
            self.add_error("athlete", "Only an athlete's account belongs to an athlete. Choose none.")
        return cleaned

    def save(self) -> Membership:
        """Make the account with its role."""
        given = self.cleaned_data
        with transaction.atomic():
            account = Account.objects.create_user(given["username"], password=given["password"])
            return Membership.objects.create(
                account=account, club=self._club, role=given["role"], athlete=given["athlete"]
            )


class NewPasswordForm(_Password):
    """Another first password for somebody who forgot theirs."""

    def __init__(self, *args: Any, member: Membership, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._member = member

    def save(self) -> None:
        """Set it; whoever forgot the password often lost the phone too, so that the second step is switched off."""
        account = self._member.account
        with transaction.atomic():
            account.set_password(self.cleaned_data["password"])
            account.save(update_fields=["password"])
            Authenticator.objects.filter(user=account).delete()


def is_last_owner(member: Membership) -> bool:
    """Whether nobody else could manage the club without `member`."""
    others = Membership.objects.filter(club=member.club, role=Role.OWNER, withdrawn_at=None).exclude(pk=member.pk)
    return member.role == Role.OWNER and not others.exists()


def withdraw(member: Membership) -> None:
    """Close an account: it can no longer log in, and what it made keeps its author."""
    with transaction.atomic():
        member.withdrawn_at = timezone.now()
        member.save(update_fields=["withdrawn_at"])
        member.account.is_active = False
        member.account.save(update_fields=["is_active"])
