"""The log-ins of everybody, and the shared tablets: the owner's to end and to enrol."""

from django.urls import path

from shoprepair.office.views import letting_in

urlpatterns = [
    path("people/<int:pk>/log-ins/<int:log_in>/end/", letting_in.end, name="person-log-in-end"),
    path("people/<int:pk>/log-ins/end/", letting_in.end_all, name="person-log-ins-end"),
    path("people/<int:pk>/pin/forget/", letting_in.forget_pin, name="person-pin-forget"),
    path("people/<int:pk>/second-factor/remove/", letting_in.remove_factor, name="person-factor-remove"),
    path("tablets/", letting_in.shared, name="tablets"),
    path("tablets/<int:pk>/revoke/", letting_in.revoke, name="tablet-revoke"),
]
