"""The office: the owner's pages, and the one page that makes an owner."""

from django.urls import path

from shoprepair.office.views import (
    cloths,
    first_run,
    landing,
    load_cases,
    pattern_edit,
    patterns,
    people,
    settings,
)

urlpatterns = [
    path("", landing.office, name="office"),
    path("start/", first_run.first_run, name="first-run"),
    path("settings/", settings.settings, name="settings"),
    path("load-cases/", load_cases.figures, name="load-figures"),
    path("load-cases/re-assess/", load_cases.reassess_open, name="re-assess"),
    path("people/", people.everyone, name="people"),
    path("people/add/", people.add, name="person-add"),
    path("people/<int:pk>/", people.one, name="person"),
    path("people/<int:pk>/password/", people.password, name="person-password"),
    path("people/<int:pk>/disable/", people.disable, name="person-disable"),
    path("people/<int:pk>/enable/", people.enable, name="person-enable"),
    path("patterns/", patterns.wall, name="patterns"),
    path("patterns/<int:pk>/", patterns.one, name="pattern"),
    path("patterns/<int:pk>/edit/", pattern_edit.edit, name="pattern-edit"),
    path("patterns/<int:pk>/copy/", patterns.copy, name="pattern-copy"),
    path("cloths/", cloths.cloths, name="cloths"),
    path("cloths/add/", cloths.add, name="cloth-add"),
    path("cloths/<int:pk>/", cloths.edit, name="cloth-edit"),
]
