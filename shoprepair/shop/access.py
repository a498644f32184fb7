"""Who may do what: three roles, and some pages that are the owner's alone."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

from shoprepair.shop import again
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff

OWNER_ONLY = gettext_lazy("Only the owner may open this page. Ask the owner, or log in as the owner.")
COUNTER_ONLY = gettext_lazy(
    "Money is taken, given back and invoiced at the counter. Ask whoever works there, or the owner."
)


@dataclass(frozen=True, slots=True)
class Roles:
    """What the person in front of the screen works as. The owner may do everybody's work."""

    counter: bool = False
    bench: bool = False
    owner: bool = False


def roles_of(person: Any) -> Roles:
    """The roles of a member of staff; none of them for somebody who is not logged in."""
    role = getattr(person, "role", None)
    owner = role == Staff.Role.OWNER
    return Roles(
        counter=owner or role == Staff.Role.COUNTER,
        bench=owner or role == Staff.Role.BENCH,
        owner=owner and person.is_owner,
    )


def may_ask_for_more(person: Any) -> bool:
    """Whether this is the owner come in by PIN, to whom the password opens the rest."""
    return getattr(person, "role", None) == Staff.Role.OWNER and not is_owner(person)


def is_owner(person: Any) -> bool:
    """Whether this is the owner."""
    return roles_of(person).owner


def owner_only(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Decorate a view so that anyone but the owner meets the page that says why not.

    The owner who came in by PIN is asked for the password, and so is the owner who was long elsewhere.
    """
    guarded = _only(is_owner, OWNER_ONLY)(view)

    @wraps(view)
    def asked(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if may_ask_for_more(request.user):
            return redirect_to_login(request.get_full_path() if request.method == "GET" else "/")
        if is_owner(request.user):
            if again.is_due(request) and (question := again.ask(request)):
                return question
            again.note(request)
        return guarded(request, *args, **kwargs)

    return asked


def counter_only(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Decorate a view that moves money: the counter's and the owner's, not the bench's."""
    return _only(lambda person: roles_of(person).counter, COUNTER_ONLY)(view)


def _only(may: Callable[[Any], bool], sentence: str) -> Callable[..., Callable[..., HttpResponse]]:
    def decorate(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not may(request.user):
                raise PermissionDenied(sentence)
            return view(request, *args, **kwargs)

        return guarded

    return decorate
