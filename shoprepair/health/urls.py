"""Asked by whoever watches the shop from outside: a proxy, a monitor, the machine itself."""

from django.urls import path

from shoprepair.health import views

urlpatterns = [
    path("alive/", views.alive, name="alive"),
    path("ready/", views.ready, name="ready"),
]
