"""Addresses of club and accounts."""

from __future__ import annotations

from django.urls import path

from firstpush.web.club import views

urlpatterns = [
    path("first-account/", views.first_account, name="first_account"),
    path("arrive/<str:token>/", views.arrive, name="arrive"),
    path("club/", views.colleagues, name="colleagues"),
    path("club/<int:id_>/withdraw/", views.withdraw_colleague, name="withdraw_colleague"),
    path("club/<int:id_>/password/", views.new_password, name="new_password"),
    path("account/", views.account, name="account"),
]
