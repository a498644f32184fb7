"""Who may do what: three roles, and some pages that are the owner's alone."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

from shoprepair.shop.models import Staff

OWNER_ONLY = "Only the owner may open this page. Ask the owner, or log in as the owner."


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
        counter=owner or role == Staff.Role.COUNTER, bench=owner or role == Staff.Role.BENCH, owner=owner
    )


def is_owner(person: Any) -> bool:
    """Whether this is the owner."""
    return roles_of(person).owner


def owner_only(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Decorate a view so that anyone but the owner meets the page that says why not."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not is_owner(request.user):
            raise PermissionDenied(OWNER_ONLY)
        return view(request, *args, **kwargs)

    return guarded
