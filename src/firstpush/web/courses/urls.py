"""Addresses of courses, and of how fast an athlete is."""

from __future__ import annotations

from django.urls import path

from firstpush.web.courses import own_views, speed_views, views

urlpatterns = [
    path("courses/", views.courses, name="courses"),
    path("courses/own/new/", own_views.new_course, name="new_course"),
    path("courses/own/floor/<slug:kind>.svg", own_views.own_floor, name="own_floor"),
    path("courses/own/<int:id_>/change/", own_views.change_course, name="change_course"),
    path("courses/own/<int:id_>/take-back/", own_views.take_back_course, name="take_back_course"),
    path("courses/own/<int:id_>/withdraw/", own_views.withdraw_course, name="withdraw_course"),
    path("courses/own/<int:id_>/put-back/", own_views.put_back_course, name="put_back_course"),
    path("courses/<slug:slug>/", views.course, name="course"),
    path("courses/<slug:slug>/times/", views.log_course_time, name="log_course_time"),
    path("courses/<slug:slug>/course.pdf", views.course_sheet, name="course_sheet"),
    path("courses/<slug:slug>/cues.wav", views.course_sound, name="course_sound"),
    path("courses/<slug:slug>/<slug:kind>.svg", views.course_plan, name="course_plan"),
    path("athletes/<int:id_>/speed/", speed_views.athlete_speed, name="athlete_speed"),
    path("athletes/<int:id_>/speed/<slug:kind>/", speed_views.add_speed_test, name="add_speed_test"),
    path(
        "athletes/<int:id_>/speed/tests/<int:number>/back/",
        speed_views.take_speed_test_back,
        name="take_speed_test_back",
    ),
    path(
        "athletes/<int:id_>/speed/times/<int:number>/back/",
        speed_views.take_course_time_back,
        name="take_course_time_back",
    ),
]
