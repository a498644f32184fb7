"""Setting a new shop up, in five steps."""

from django.urls import path

from shoprepair.office.views import set_up
from shoprepair.office.views.set_up_pattern import first_pattern

urlpatterns = [
    path("set-up/", set_up.overview, name="set-up"),
    path("set-up/shop/", set_up.place, name="set-up-shop"),
    path("set-up/prices/", set_up.prices, name="set-up-prices"),
    path("set-up/pattern/", first_pattern, name="set-up-pattern"),
    path("set-up/people/", set_up.crew, name="set-up-people"),
    path("set-up/tag/", set_up.tag, name="set-up-tag"),
    path("set-up/tag/trial.pdf", set_up.trial, name="set-up-trial"),
]
