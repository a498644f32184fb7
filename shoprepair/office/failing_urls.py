"""The reports on what fails."""

from django.urls import path

from shoprepair.office.views.failing import lives, where

urlpatterns = [
    path("what-fails/", where.where, name="failing"),
    path("what-fails/lives/", lives.lives, name="lives"),
]
