"""Coming in, and how each person does."""

from django.urls import path

from shoprepair.office.views import entering, my_log_in

urlpatterns = [
    path("log-in/code/", entering.code, name="log-in-code"),
    path("switch/", entering.switch, name="switch-person"),
    path("switch/<int:pk>/", entering.pin, name="switch-pin"),
    path("my/log-in/", my_log_in.mine, name="my-log-in"),
    path("my/log-in/<int:pk>/end/", my_log_in.end, name="my-log-in-end"),
    path("my/log-in/end-others/", my_log_in.end_others, name="my-log-ins-end"),
    path("my/pin/", my_log_in.pin, name="my-pin"),
    path("my/pin/forget/", my_log_in.forget_pin, name="my-pin-forget"),
    path("my/second-factor/", my_log_in.factor, name="my-second-factor"),
    path("my/second-factor/begin/", my_log_in.begin_factor, name="my-second-factor-begin"),
    path("my/second-factor/codes/", my_log_in.new_codes, name="my-second-factor-codes"),
    path("my/second-factor/remove/", my_log_in.remove_factor, name="my-second-factor-remove"),
    path("my/second-factor/later/", my_log_in.later, name="my-second-factor-later"),
]
