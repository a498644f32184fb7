"""The status link and the self-check: what a customer and a visitor see without logging in."""

from django.urls import path

from shoprepair.portal import cover_urls, passing_urls
from shoprepair.portal.self_check import urls as self_check_urls
from shoprepair.portal.views import answer, question, status

urlpatterns = [
    *self_check_urls.urlpatterns,
    *cover_urls.urlpatterns,
    *passing_urls.urlpatterns,
    path("s/<str:token>/", status.status, name="status"),
    # Copied without its last stroke it opens too.
    path("s/<str:token>", status.status),
    path("s/<str:token>/answer/", answer.answer, name="status-answer"),
    path("s/<str:token>/ask/", question.ask, name="status-ask"),
    path("s/<str:token>/photos/<str:key>/<str:size>.jpg", status.photo, name="status-photo"),
    path("s/<str:token>/quote.pdf", status.quote_pdf, name="status-quote-pdf"),
    path("s/<path:rest>", status.unknown, name="status-unknown"),
]
