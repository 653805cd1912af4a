"""Addresses of kit and venue."""

from __future__ import annotations

from django.urls import path

from firstpush.web.kit import views

urlpatterns = [
    path("kit-and-venue/", views.kit_and_venue, name="kit_and_venue"),
    path("kit-and-venue/kit/<int:id_>/", views.kit, name="kit"),
    path("kit-and-venue/venue/<int:id_>/", views.venue, name="venue"),
]
