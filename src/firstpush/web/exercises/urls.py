"""Addresses of exercises and their drawings."""

from __future__ import annotations

from django.urls import path

from firstpush.web.exercises import figure_views, views

urlpatterns = [
    path("exercises/", views.exercises, name="exercises"),
    path("exercises/own/<slug:slug>/", views.own_exercise, name="own_exercise"),
    path("exercises/<slug:slug>/", views.exercise, name="exercise"),
    path("figures/<slug:slug>/<slug:kind>.svg", figure_views.figure_view, name="figure"),
]
