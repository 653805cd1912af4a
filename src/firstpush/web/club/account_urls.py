"""Logging in and out, the password and the second step: the views of allauth that are used, and no others.

Signing up, addresses of mail and resetting a password by mail have no address here.
"""

from __future__ import annotations

from allauth.account import views as account
from allauth.mfa.base import views as second_step
from allauth.mfa.recovery_codes import views as codes
from allauth.mfa.totp import views as totp
from django.urls import path

from firstpush.web.access import for_any_account, open_to_all

urlpatterns = [
    path("login/", open_to_all(account.login), name="account_login"),
    path("logout/", open_to_all(account.logout), name="account_logout"),
    path("inactive/", open_to_all(account.account_inactive), name="account_inactive"),
    path("reauthenticate/", for_any_account(account.reauthenticate), name="account_reauthenticate"),
    path("password/", for_any_account(account.password_change), name="account_change_password"),
    path("second-step/", for_any_account(second_step.index), name="mfa_index"),
    path("second-step/authenticate/", open_to_all(second_step.authenticate), name="mfa_authenticate"),
    path("second-step/reauthenticate/", for_any_account(second_step.reauthenticate), name="mfa_reauthenticate"),
    path("second-step/app/on/", for_any_account(totp.activate_totp), name="mfa_activate_totp"),
    path("second-step/app/off/", for_any_account(totp.deactivate_totp), name="mfa_deactivate_totp"),
    path("second-step/codes/", for_any_account(codes.view_recovery_codes), name="mfa_view_recovery_codes"),
    path("second-step/codes/new/", for_any_account(codes.generate_recovery_codes), name="mfa_generate_recovery_codes"),
    path("second-step/codes/file/", for_any_account(codes.download_recovery_codes), name="mfa_download_recovery_codes"),
]
