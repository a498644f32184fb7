"""The log-in: whoever failed too often waits before the next try, and reads for how long."""

import math
from typing import Any

from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse

from shoprepair.office.views.entering import enter
from shoprepair.shop import again, known_browsers, limits, log_ins
from shoprepair.shop.access import is_owner


class LogIn(LoginView):
    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        # Whom the password opens more may give it: who came in by a PIN, and an owner who was long elsewhere.
        self.redirect_authenticated_user = not (
            getattr(request.user, "by_pin", False) or (is_owner(request.user) and again.is_due(request))
        )
        return super().dispatch(request, *args, **kwargs)

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        pause = log_ins.begin(self._name(), limits.address(request), self._browser())
        return self._wait(pause.total_seconds()) if pause else super().post(request, *args, **kwargs)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        log_ins.succeeded(self._name(), limits.address(self.request), self._browser())
        return enter(self.request, form.get_user(), self.get_success_url())

    def _name(self) -> str:
        return self.request.POST.get("username", "")

    def _browser(self) -> str:
        return known_browsers.known_as(self.request, log_ins.plain(self._name()))

    def _wait(self, seconds: float) -> HttpResponse:
        """The same page without a look at the password: a form that is bound would try it."""
        form = AuthenticationForm(self.request, initial={"username": self._name()})
        context = self.get_context_data(form=form, wait_minutes=math.ceil(seconds / 60))
        answer = self.render_to_response(context, status=429)
        answer["Retry-After"] = str(math.ceil(seconds))
        return answer
