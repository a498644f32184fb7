"""The cover record's page: what its paper says, for whoever holds it."""

from django.urls import path

from shoprepair.portal.views import cover

urlpatterns = [
    path("c/<str:token>/", cover.cover, name="cover-page"),
    # Copied without its last stroke it opens too.
    path("c/<str:token>", cover.cover),
    path("c/<str:token>/cover.pdf", cover.cover_pdf, name="cover-page-pdf"),
    path("c/<path:rest>", cover.unknown),
]
