"""Everything the counter reaches: taking gear in, and the jobs in the shop."""

from shoprepair.counter import (
    checkin_urls,
    claim_urls,
    gear_urls,
    hand_back_urls,
    jobs_urls,
    letters_urls,
    quote_urls,
    transfer_urls,
)

urlpatterns = [
    *checkin_urls.urlpatterns,
    *jobs_urls.urlpatterns,
    *quote_urls.urlpatterns,
    *hand_back_urls.urlpatterns,
    *gear_urls.urlpatterns,
    *claim_urls.urlpatterns,
    *transfer_urls.urlpatterns,
    *letters_urls.urlpatterns,
]
