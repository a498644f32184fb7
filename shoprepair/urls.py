from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView, LogoutView
from django.urls import include, path

from shoprepair.office.views.first_run import or_first_run

log_in = or_first_run(LoginView.as_view(redirect_authenticated_user=True))

urlpatterns = [
    path("log-in/", login_not_required(log_in), name="login"),
    path("log-out/", LogoutView.as_view(), name="logout"),
    path("", include("shoprepair.counter.urls")),
    path("", include("shoprepair.bench.urls")),
    path("office/", include("shoprepair.office.urls")),
    path("", include("shoprepair.portal.urls")),
]
