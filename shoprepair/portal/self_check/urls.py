"""Addresses of the self-check and of the enquiry that it becomes."""

from django.urls import path

from shoprepair.portal.self_check.views import asked, walk

urlpatterns = [
    path("self-check/", walk.walk, name="self-check"),
    path("self-check/asked/", asked.asked, name="self-check-tally"),
]
