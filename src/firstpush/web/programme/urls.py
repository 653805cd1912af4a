"""Addresses of programmes."""

from __future__ import annotations

from django.urls import path

from firstpush.web.programme import views

OF_ONE = "athletes/<int:id_>/programme/<int:number>/"

urlpatterns = [
    path("athletes/<int:id_>/programme/", views.programme, name="programme"),
    path("athletes/<int:id_>/programme/make/", views.make_programme, name="make_programme"),
    path("athletes/<int:id_>/programme/bend/", views.bend_programme, name="bend_programme"),
    path(OF_ONE, views.programme_earlier, name="programme_earlier"),
    path(f"{OF_ONE}programme.pdf", views.programme_sheet, name="programme_sheet"),
    path(f"{OF_ONE}programme.ics", views.programme_calendar, name="programme_calendar"),
    path(f"{OF_ONE}figures/<int:page>-<int:place>.svg", views.programme_figure, name="programme_figure"),
]
