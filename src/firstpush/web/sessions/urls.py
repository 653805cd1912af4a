"""Addresses of sessions; those of the training day stand in `day_urls`."""

from __future__ import annotations

from django.urls import path

from firstpush.web.sessions import change_views, make_views, print_views, views

urlpatterns = [
    path("sheets/", views.own_sheets, name="own_sheets"),
    path("sessions/make/<int:id_>/", make_views.make_first, name="make_session"),
    path("sessions/making/<slug:token>/", make_views.making, name="making"),
    path("sessions/ask/<int:id_>/", change_views.ask_again, name="ask_again"),
    path("sessions/<int:id_>/", views.plan, name="plan"),
    path("sessions/<int:id_>/waits/", views.what_waits, name="what_waits"),
    path("sessions/<int:id_>/again/", make_views.make_again, name="make_again"),
    path("sessions/<int:id_>/change/", change_views.change_plan, name="change_plan"),
    path("sessions/<int:id_>/items/<slug:slug>/", change_views.plan_item, name="plan_item"),
    path("sessions/<int:id_>/items/<slug:slug>/makes-way/", change_views.what_makes_way, name="what_makes_way"),
    path("sessions/<int:id_>/items/<slug:slug>/set-up/", change_views.lay_by_hand, name="lay_by_hand"),
    path("sessions/<int:id_>/versions/", views.plan_versions, name="plan_versions"),
    path("sessions/<int:id_>/versions/<int:number>/", views.plan_version, name="plan_version"),
    path("sessions/<int:id_>/versions/<int:number>/back/", change_views.back_to, name="back_to"),
    path(
        "sessions/<int:id_>/versions/<int:number>/figures/<slug:slug>.svg",
        print_views.session_figure,
        name="session_figure",
    ),
    path(
        "sessions/<int:id_>/versions/<int:number>/courses/<slug:slug>/<slug:kind>.svg",
        print_views.session_course,
        name="session_course",
    ),
    path(
        "sessions/<int:id_>/versions/<int:number>/sheet-<slug:which>.pdf",
        print_views.session_sheet,
        name="session_sheet",
    ),
    path(
        "sessions/<int:id_>/versions/<int:number>/cards-<slug:which>.pdf",
        print_views.session_cards,
        name="session_cards",
    ),
    path(
        "sessions/<int:id_>/versions/<int:number>/session.ics",
        print_views.session_calendar,
        name="session_calendar",
    ),
]
