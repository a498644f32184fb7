from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LogoutView
from django.urls import include, path

from shoprepair.office.views.first_run import or_first_run
from shoprepair.office.views.log_in import LogIn
from shoprepair.shop.headers import leaves_nothing

log_in = or_first_run(LogIn.as_view())

urlpatterns = [
    path("log-in/", login_not_required(log_in), name="login"),
    path("log-out/", leaves_nothing(LogoutView.as_view(next_page="login")), name="logout"),
    path("", include("shoprepair.office.log_in_urls")),
    path("", include("shoprepair.counter.urls")),
    path("", include("shoprepair.bench.urls")),
    path("office/", include("shoprepair.office.urls")),
    path("", include("shoprepair.portal.urls")),
    path("", include("shoprepair.health.urls")),
]

handler400 = "shoprepair.health.errors.bad_request"
handler403 = "shoprepair.health.errors.permission_denied"
handler404 = "shoprepair.health.errors.page_not_found"
handler500 = "shoprepair.health.errors.server_error"
