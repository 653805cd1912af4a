"""Addresses of kit and venue."""

from __future__ import annotations

from collections.abc import Iterator

from django.urls import URLPattern, path

from firstpush.web.kit import band_views, edit_views, stored_views, views


def _stored(what: str) -> Iterator[URLPattern]:
    """Yield the addresses that cupboards and venues both have."""
    here, extra = f"kit-and-venue/{what}/<int:id_>", {"what": what}
    yield path(f"kit-and-venue/{what}/from-file/", stored_views.new_from_file, extra, name=f"new_{what}_from_file")
    yield path(f"{here}/history/", stored_views.history, extra, name=f"{what}_history")
    yield path(f"{here}/history/<int:number>/restore/", stored_views.restore, extra, name=f"restore_{what}")
    yield path(f"{here}/copy/", stored_views.copy, extra, name=f"copy_{what}")
    yield path(f"{here}/use/", stored_views.use, extra, name=f"use_{what}")
    yield path(f"{here}/file/", stored_views.file, extra, name=f"{what}_file")
    yield path(f"{here}/from-file/", stored_views.from_file, extra, name=f"{what}_from_file")


urlpatterns = [
    path("kit-and-venue/", views.kit_and_venue, name="kit_and_venue"),
    path("kit-and-venue/kit/new/", edit_views.new_kit, name="new_kit"),
    path("kit-and-venue/venue/new/", edit_views.new_venue, name="new_venue"),
    *_stored("kit"),
    *_stored("venue"),
    path("kit-and-venue/kit/<int:id_>/", views.kit, name="kit"),
    path("kit-and-venue/kit/<int:id_>/change/", edit_views.change_kit, name="change_kit"),
    path("kit-and-venue/kit/<int:id_>/bands/new/", edit_views.new_band, name="new_band"),
    path("kit-and-venue/kit/<int:id_>/bands/<int:number>/", band_views.band, name="band"),
    path("kit-and-venue/kit/<int:id_>/bands/<int:number>/change/", edit_views.change_band, name="change_band"),
    path("kit-and-venue/kit/<int:id_>/bands/<int:number>/take-out/", edit_views.take_out_band, name="take_out_band"),
    path("kit-and-venue/kit/<int:id_>/bands/<int:number>/check/", band_views.check_band, name="check_band"),
    path("kit-and-venue/kit/<int:id_>/bands/<int:number>/withdraw/", band_views.withdraw_band, name="withdraw_band"),
    path("kit-and-venue/kit/<int:id_>/withdrawn/<int:number>/", band_views.bring_back_band, name="bring_back_band"),
    path("kit-and-venue/venue/<int:id_>/", views.venue, name="venue"),
    path("kit-and-venue/venue/<int:id_>/change/", edit_views.change_venue, name="change_venue"),
]
