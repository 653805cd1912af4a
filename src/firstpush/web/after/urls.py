"""Addresses of what comes after a session."""

from __future__ import annotations

from django.urls import path

from firstpush.web.after import agreed_views, try_views, views

urlpatterns = [
    path("athletes/<int:id_>/after/<uuid:run>/", views.after_session, name="after_session"),
    path(
        "athletes/<int:id_>/after/<uuid:run>/figures/<slug:slug>-<int:index>.svg",
        views.after_figure,
        name="after_figure",
    ),
    path("athletes/<int:id_>/agreed/", agreed_views.agreed, name="agreed"),
    path("athletes/<int:id_>/agreed/<slug:slug>/back/", agreed_views.take_agreed_back, name="take_agreed_back"),
    path("sessions/<int:id_>/items/<slug:slug>/try-out/", try_views.try_exercise_out, name="try_out"),
    path("sessions/<int:id_>/items/<slug:slug>/try-out.svg", try_views.try_out_figure, name="try_out_figure"),
    path("athletes/<int:id_>/rules/", agreed_views.rules, name="rules"),
]
