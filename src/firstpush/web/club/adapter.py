"""How accounts come to be: by the owner of the club, never by signing up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class NoSignUp(DefaultAccountAdapter):  # type: ignore[misc]
    """Accounts are added by the owner; nobody signs up, and nothing is mailed."""

    error_messages = DefaultAccountAdapter.error_messages | {
        "username_password_mismatch": "Name and password do not go together. Check both; capital letters count.",
        "incorrect_password": "This is not your password. Check capital letters, and enter it again.",
        "too_many_login_attempts": "Too many wrong entries in a short time. Wait five minutes, then try again.",
    }

    def is_open_for_signup(self, request: Any) -> bool:
        """Nobody signs up."""
        return False

    def send_mail(self, *args: Any, **kwargs: Any) -> None:
        """Nothing is mailed."""


def name_tried(request: HttpRequest, credentials: Mapping[str, str] | None) -> str:
    """Return the name somebody tried to log in with, as failures are counted by it.

    Names are looked up in any case, so that they are counted in one: else each spelling had its own five tries.
    """
    given = (credentials or {}).get("username") or request.POST.get("login", "")
    return given.strip().casefold()
