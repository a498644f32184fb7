"""The public self-check, from the owner's side."""

from django.urls import path

from shoprepair.office.views import self_check

urlpatterns = [
    path("self-check/", self_check.self_check, name="office-self-check"),
    path("self-check/leaflet.pdf", self_check.leaflet, name="self-check-leaflet"),
]
