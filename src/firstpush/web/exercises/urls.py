"""Addresses of exercises and their drawings."""

from __future__ import annotations

from django.urls import path

from firstpush.web.exercises import edit_views, figure_views, own_views, views

urlpatterns = [
    path("exercises/", views.exercises, name="exercises"),
    path("exercises/from-file/", own_views.exercise_from_file, name="exercise_from_file"),
    path("exercises/own/<slug:slug>/", own_views.own_exercise, name="own_exercise"),
    path("exercises/own/<slug:slug>/change/", edit_views.change_exercise, name="change_exercise"),
    path("exercises/own/<slug:slug>/preview/", edit_views.preview_exercise, name="preview_exercise"),
    path("exercises/own/<slug:slug>/text/", own_views.exercise_text, name="exercise_text"),
    path("exercises/own/<slug:slug>/take-back/", own_views.take_back_exercise, name="take_back_exercise"),
    path("exercises/own/<slug:slug>/withdraw/", own_views.withdraw_exercise, name="withdraw_exercise"),
    path("exercises/own/<slug:slug>/put-back/", own_views.put_back_exercise, name="put_back_exercise"),
    path("exercises/<slug:slug>/", views.exercise, name="exercise"),
    path("exercises/<slug:slug>/copy/", own_views.copy_exercise, name="copy_exercise"),
    path("exercises/<slug:slug>/file/", own_views.exercise_file, name="exercise_file"),
    path("figures/<slug:slug>/<slug:kind>.svg", figure_views.figure_view, name="figure"),
]
