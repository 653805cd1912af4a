"""Addresses of training day and sessions."""

from __future__ import annotations

from django.urls import path

from firstpush.web.sessions import views

urlpatterns = [
    path("", views.training_day, name="training_day"),
    path("sheets/", views.own_sheets, name="own_sheets"),
    path("sessions/<int:id_>/", views.plan, name="plan"),
]
