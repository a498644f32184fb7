"""Addresses of the self-check and of the enquiry that it becomes."""

from django.urls import path

from shoprepair.portal.self_check.views import asked, enquiry, offline, sent, walk

urlpatterns = [
    path("self-check/", walk.walk, name="self-check"),
    path("self-check/asked/", asked.asked, name="self-check-tally"),
    path("self-check/offline/", offline.offline, name="self-check-offline"),
    path("self-check/worker.js", offline.worker, name="self-check-worker"),
    path("self-check/enquiry/", enquiry.send, name="enquiry"),
    path("self-check/enquiry/thanks/", enquiry.thanks, name="enquiry-thanks"),
    path("s/<str:token>/sent/", sent.sent, name="enquiry-sent"),
    path("s/<str:token>/parcel-slip.pdf", sent.slip, name="parcel-slip"),
]
