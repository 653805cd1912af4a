"""Addresses of on court; the contract with the page on the device is docs/why/on-court.md."""

from __future__ import annotations

from django.urls import path

from firstpush.web.oncourt import aside_views, back_views, data_views, link_views, page_views, paper_views

urlpatterns = [
    path("court/", page_views.court, name="court"),
    path("court/worker.js", page_views.worker, name="court_worker"),
    path("court/packages/", data_views.packages, name="court_packages"),
    path("court/packages/<int:id_>/<int:number>/", data_views.package, name="court_package"),
    path("court/entries/", data_views.entries, name="court_entries"),
    path("court/token/", data_views.token, name="court_token"),
    path("sessions/<int:id_>/links/", link_views.make_court_link, name="make_court_link"),
    path("sessions/<int:id_>/links/<uuid:link>/withdraw/", link_views.withdraw_court_link, name="withdraw_court_link"),
    path("sessions/<int:id_>/versions/<int:number>/on-court.html", back_views.one_file, name="court_file"),
    path("sessions/<int:id_>/versions/<int:number>/paper/", paper_views.paper, name="court_paper"),
    path("logged/files/", back_views.files_back, name="court_back"),
    path("logged/set-aside/", aside_views.set_aside, name="set_aside"),
    path("logged/set-aside/<int:id_>/seen/", aside_views.seen, name="set_aside_seen"),
]
