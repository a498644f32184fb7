"""Taking gear in: from the customer's name to the printed tag."""

from django.urls import path

from shoprepair.counter.views import check_in, customers, damages, enquiry, find, installed, person, photos

urlpatterns = [
    path("search/", find.search, name="search"),
    path("check-in/", find.check_in, name="check-in"),
    path("check-in/customer/", customers.add, name="check-in-customer"),
    path("check-in/<int:customer_id>/gear/", customers.gear, name="check-in-gear"),
    path("check-in/start/", check_in.start, name="check-in-start"),
    path("jobs/<int:number>/check-in/", check_in.desk, name="job-check-in"),
    path("jobs/<int:number>/arrival/", check_in.arrival, name="job-arrival"),
    path("jobs/<int:number>/checked-in/", check_in.done, name="job-checked-in"),
    path("jobs/<int:number>/is/", enquiry.join, name="enquiry-is"),
    path("jobs/<int:number>/model/", enquiry.model, name="enquiry-model"),
    path("jobs/<int:number>/pin/", damages.pin, name="damage-pin"),
    path("jobs/<int:number>/damages/<int:damage_number>/", damages.damage, name="damage"),
    path("jobs/<int:number>/damages/<int:damage_number>/move/", damages.move, name="damage-move"),
    path("jobs/<int:number>/damages/<int:damage_number>/remove/", damages.remove, name="damage-remove"),
    path("jobs/<int:number>/damages/<int:damage_number>/restore/", damages.restore, name="damage-restore"),
    path("jobs/<int:number>/photos/", photos.add, name="photo-add"),
    path("photos/<str:key>/<str:size>.jpg", photos.photo, name="photo"),
    path("photos/<str:key>/share/", photos.share, name="photo-share"),
    path("photos/<str:key>/remove/", photos.remove, name="photo-remove"),
    path("photos/<str:key>/restore/", photos.restore, name="photo-restore"),
    path("photos/<str:key>/place/", photo_places.put, name="photo-place"),
    path("photos/<str:key>/unplace/", photo_places.take_off, name="photo-unplace"),
    path("my/units/", person.units, name="my-units"),
    path("my/look/", person.look, name="my-look"),
    path("app.webmanifest", installed.manifest, name="manifest"),
    path("start/", installed.start, name="start"),
]
