"""From the damages to what it costs: repairs, quote, and the customer's way to both."""

from django.urls import path

from shoprepair.counter.views import status_link

urlpatterns = [
    path("jobs/<int:number>/link/", status_link.status_link, name="status-link"),
    path("jobs/<int:number>/link/withdraw/", status_link.withdraw, name="status-link-withdraw"),
    path("jobs/<int:number>/reply/", status_link.reply, name="reply"),
]
