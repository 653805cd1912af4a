"""Addresses of exercises."""

from __future__ import annotations

from django.urls import path

from firstpush.web.exercises import views

urlpatterns = [
    path("exercises/", views.exercises, name="exercises"),
    path("exercises/own/<slug:slug>/", views.own_exercise, name="own_exercise"),
    path("exercises/<slug:slug>/", views.exercise, name="exercise"),
]
