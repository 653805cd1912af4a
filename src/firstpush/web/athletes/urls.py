"""Addresses of athletes."""

from __future__ import annotations

from django.urls import path

from firstpush.web.athletes import person_views, views

urlpatterns = [
    path("athletes/", views.athletes, name="athletes"),
    path("athletes/<int:id_>/", views.athlete, name="athlete"),
    path("athletes/<int:id_>/export/", person_views.export_athlete, name="export_athlete"),
    path("athletes/<int:id_>/erase/", person_views.erase_athlete, name="erase_athlete"),
]
