"""How accounts come to be: by the owner of the club, never by signing up."""

from __future__ import annotations

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter


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
