"""Addresses of athletes."""

from __future__ import annotations

from django.urls import path

from firstpush.web.athletes import edit_views, history_views, list_views, person_views, views

urlpatterns = [
    path("athletes/", views.athletes, name="athletes"),
    path("athletes/new/", views.new_athlete, name="new_athlete"),
    path("athletes/list/", list_views.import_athletes, name="import_athletes"),
    path("athletes/list/athletes.csv", list_views.import_sample, name="import_sample"),
    path("athletes/function/<slug:movement>/<slug:step>.svg", views.function_figure, name="function_figure"),
    path("athletes/<int:id_>/", views.athlete, name="athlete"),
    path("athletes/<int:id_>/measure-next/", views.measure_next_of, name="measure_next"),
    path("athletes/<int:id_>/body/", edit_views.edit_body, name="edit_body"),
    path("athletes/<int:id_>/function/", edit_views.edit_function, name="edit_function"),
    path("athletes/<int:id_>/health/", edit_views.edit_health, name="edit_health"),
    path("athletes/<int:id_>/strength/", edit_views.edit_strength, name="edit_strength"),
    path("athletes/<int:id_>/chairs/", edit_views.edit_chairs, name="edit_chairs"),
    path("athletes/<int:id_>/history/", history_views.athlete_history, name="athlete_history"),
    path("athletes/<int:id_>/history/back/", history_views.restore_athlete, name="restore_athlete"),
    path("athletes/<int:id_>/aside/", views.withdraw_athlete, name="withdraw_athlete"),
    path("athletes/<int:id_>/export/", person_views.export_athlete, name="export_athlete"),
    path("athletes/<int:id_>/erase/", person_views.erase_athlete, name="erase_athlete"),
]
