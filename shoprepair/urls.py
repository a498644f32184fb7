from django.contrib.auth.views import LoginView, LogoutView
from django.urls import include, path
from django.contrib.auth.decorators import login_not_required

urlpatterns = [
    path("log-in/", login_not_required(LoginView.as_view(redirect_authenticated_user=True)), name="login"),
    path("log-out/", LogoutView.as_view(), name="logout"),
    path("", include("shoprepair.counter.urls")),
    path("office/", include("shoprepair.office.urls")),
]
