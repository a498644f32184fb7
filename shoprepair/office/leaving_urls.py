"""What leaves the shop: tables, archives, what is held about a customer, and erasing them."""

from django.urls import path

from shoprepair.office.views import archives, backups, customer_data, demo_data, lasting, leaving

urlpatterns = [
    path("data/", leaving.leaving, name="leaving"),
    path("data/tables/<str:label>.<slug:form>", leaving.table, name="export-table"),
    path("data/archive/", archives.archive, name="archive"),
    path("data/archive/download/", archives.download, name="archive-download"),
    path("data/archive/bring-in/", archives.bring_in, name="archive-import"),
    path("data/backups/", backups.backups, name="backups"),
    path("data/demo/", demo_data.remove, name="demo-remove"),
    path("data/demo/back/", demo_data.bring_back, name="demo-back"),
    path("data/kept/", lasting.times, name="times-kept"),
    path("data/customers/<int:pk>/", customer_data.data, name="customer-data"),
    path("data/customers/<int:pk>/download/", customer_data.download, name="customer-data-download"),
    path("data/customers/<int:pk>/erase/", customer_data.erase, name="customer-erase"),
]
