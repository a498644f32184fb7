"""Gear that passes to a new owner, as each side sees and answers it."""

from django.urls import path

from shoprepair.portal.views import passing

urlpatterns = [
    path("o/<str:token>/", passing.passing, name="passing"),
    # Copied without its last stroke it opens too.
    path("o/<str:token>", passing.passing),
    path("o/<str:token>/answer/", passing.answer, name="passing-answer"),
    path("o/<path:rest>", passing.unknown, name="passing-unknown"),
]
