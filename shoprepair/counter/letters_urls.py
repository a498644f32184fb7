"""What a person decides about a letter."""

from django.urls import path

from shoprepair.counter.views import letters

urlpatterns = [
    path("letters/<int:pk>/again/", letters.again, name="letter-again"),
    path("letters/<int:pk>/cancel/", letters.cancel, name="letter-cancel"),
]
