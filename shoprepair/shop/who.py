"""Who is logged in, and in which shop, read with their session: one statement at each request, not three.

Nothing is kept from one request to the next, so whoever was turned away is out at once.
"""

from contextvars import ContextVar
from typing import Any

from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.middleware import AuthenticationMiddleware, get_user
from django.contrib.sessions.backends.db import SessionStore as InDatabase
from django.contrib.sessions.models import Session
from django.db.models import OuterRef, Subquery
from django.http import HttpRequest
from django.utils import timezone
from django.utils.functional import SimpleLazyObject

from shoprepair.shop.models import LogIn, Shop, Staff
from shoprepair.shop.settings import current

ORDINARY = "shoprepair.shop.who.PasswordBackend"
BY_PIN = "shoprepair.shop.who.PinBackend"
_asking: ContextVar["SessionStore | None"] = ContextVar("the session whose person is asked for", default=None)


class SessionStore(InDatabase):
    """Sessions in the database, as Django keeps them."""

    person: Staff | None = None
    shop: Shop | None = None
    """What the row beside the session names, once the session was read."""

    def _get_session_from_db(self) -> Session | None:
        alive = Session.objects.filter(session_key=OuterRef("session_key"), expire_date__gt=timezone.now())
        data, ends = (Subquery(alive.values(name)) for name in ("session_data", "expire_date"))
        log_ins = LogIn.objects.filter(session_key=self.session_key).order_by()
        found = log_ins.annotate(data=data, ends=ends).select_related("person", "shop").first()
        if found is None or found.data is None:
            return super()._get_session_from_db()  # type: ignore[misc,no-any-return]
        self.person, self.shop = found.person, found.shop
        return Session(session_key=found.session_key, session_data=found.data, expire_date=found.ends)


class _ReadWithSession(ModelBackend):
    def get_user(self, user_id: int) -> Staff | None:
        session = _asking.get()
        person = session.person if session else None
        if person is None or person.pk != user_id:
            return super().get_user(user_id)
        return person if self.user_can_authenticate(person) else None


class PasswordBackend(_ReadWithSession):
    """Lets in whoever knows the password."""


class PinBackend(_ReadWithSession):
    """Lets nobody in by itself. Whoever was let in by a PIN is known as such at every request."""

    def authenticate(self, *_args: Any, **_credentials: Any) -> None:
        return None

    def get_user(self, user_id: int) -> Staff | None:
        person = super().get_user(user_id)
        if person:
            person.by_pin = True
        return person


class WhoMiddleware(AuthenticationMiddleware):
    """Sets `request.user` as Django does: asked for when it is wanted, and not before."""

    def process_request(self, request: HttpRequest) -> None:
        super().process_request(request)
        request.user = SimpleLazyObject(lambda: _person(request))  # type: ignore[assignment]


def shop_of(request: HttpRequest) -> Shop:
    """The shop, as the session told of it where one was read for this request."""
    return getattr(getattr(request, "session", None), "shop", None) or current()


def _person(request: HttpRequest) -> Any:
    token = _asking.set(request.session)  # type: ignore[arg-type]
    try:
        return get_user(request)
    finally:
        _asking.reset(token)
