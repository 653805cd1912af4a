"""The form to log in, in the words of the page on which the name was chosen."""

from __future__ import annotations

from typing import Any

from allauth.account.forms import LoginForm

from firstpush.web.club.forms import FirstAccountForm


class NameAndPassword(LoginForm):  # type: ignore[misc]
    """Name and password, called as they were when the account was made."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["login"].label = FirstAccountForm.base_fields["username"].label
        # The library writes the name of a field into the empty field too.
        for field in self.fields.values():
            field.widget.attrs.pop("placeholder", None)
