"""Gear that passes to a new owner."""

from django.urls import path

from shoprepair.counter.views import transfer

urlpatterns = [
    path("gear/<int:pk>/transfer/", transfer.offer, name="transfer-offer"),
    path("gear/<int:pk>/transfer/customer/", transfer.customer, name="transfer-customer"),
    path("transfers/<int:pk>/", transfer.transfer, name="transfer"),
    path("transfers/<int:pk>/agree/", transfer.agree, name="transfer-agree"),
    path("transfers/<int:pk>/end/", transfer.end, name="transfer-end"),
]
