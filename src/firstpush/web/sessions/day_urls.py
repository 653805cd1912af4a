"""Addresses of the training day."""

from __future__ import annotations

from django.urls import path

from firstpush.web.sessions import day_views

urlpatterns = [
    path("", day_views.training_day, name="training_day"),
    path("day/settings/", day_views.day_settings, name="day_settings"),
    path("day/presence/", day_views.day_presence, name="day_presence"),
    path("day/presence/<int:id_>/", day_views.day_presence_of, name="day_presence_of"),
    path("day/make/", day_views.day_make, name="day_make"),
    path("day/make/<int:id_>/", day_views.day_make_one, name="day_make_one"),
    path("day/starts/", day_views.day_starts, name="day_starts"),
    path("day/happened/<slug:what>/", day_views.day_happened, name="day_happened"),
    path("day/undo/<int:id_>/", day_views.day_undo, name="day_undo"),
    path("day/print/<slug:paper>/", day_views.day_print, name="day_print"),
    path("day/figure/<int:id_>/<int:number>/<int:place>.svg", day_views.day_figure, name="day_figure"),
]
