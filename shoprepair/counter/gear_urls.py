"""A piece of gear over all its visits, and the covers on it."""

from django.urls import path

from shoprepair.counter.views import gear

urlpatterns = [
    path("gear/<int:pk>/", gear.gear, name="gear"),
    path("gear/<int:pk>/check-in/", gear.check_in, name="gear-check-in"),
    path("gear/<int:pk>/retire/", gear.retire, name="gear-retire"),
    path("gear/<int:pk>/cover.pdf", gear.cover_pdf, name="cover-pdf"),
    path("gear/<int:pk>/cover-link/", gear.link, name="cover-link"),
    path("covers/<int:number>/", gear.cover, name="cover-one"),
    path("covers/<int:number>/end/", gear.end, name="cover-end"),
]
