"""Every address of the application; each folder keeps its own list."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("", include("firstpush.web.sessions.day_urls")),
    path("", include("firstpush.web.sessions.urls")),
    path("", include("firstpush.web.oncourt.urls")),
    path("", include("firstpush.web.after.urls")),
    path("", include("firstpush.web.programme.urls")),
    path("", include("firstpush.web.courses.urls")),
    path("", include("firstpush.web.athletes.urls")),
    path("", include("firstpush.web.kit.urls")),
    path("", include("firstpush.web.exercises.urls")),
    path("", include("firstpush.web.club.urls")),
    path("account/", include("firstpush.web.club.account_urls")),
]
