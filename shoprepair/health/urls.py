"""Asked by whoever watches the shop: a proxy, a monitor, the machine itself; and in words by the owner."""

from django.urls import path

from shoprepair.health import views

urlpatterns = [
    path("alive/", views.alive, name="alive"),
    path("ready/", views.ready, name="ready"),
    path("office/how-it-runs/", views.running, name="how-it-runs"),
]
