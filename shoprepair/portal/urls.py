"""The status link: what a customer sees and answers without logging in."""

from django.urls import path

from shoprepair.portal import cover_urls, passing_urls
from shoprepair.portal.views import answer, question, status

urlpatterns = [
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
