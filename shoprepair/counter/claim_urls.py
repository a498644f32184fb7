"""A damage held against the covers of its gear, and what the owner decides."""

from django.urls import path

from shoprepair.counter.views import claim

urlpatterns = [
    path("jobs/<int:number>/damages/<int:damage_number>/claim/", claim.claim, name="claim"),
    path("jobs/<int:number>/damages/<int:damage_number>/claim/hold/", claim.hold, name="claim-hold"),
    path("claims/<int:number>/pumped/", claim.pumped, name="claim-pumped"),
    path("claims/<int:number>/decide/", claim.decide, name="claim-decide"),
    path("claims/<int:number>/reopen/", claim.reopen, name="claim-reopen"),
    path("claims/<int:number>/drop/", claim.drop, name="claim-drop"),
    path("claims/<int:number>/take-up/", claim.take_up, name="claim-take-up"),
]
