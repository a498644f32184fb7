"""The demo's log-ins are printed for everybody to read: none of them opens a shop that goes on without it."""

from django.contrib.auth.hashers import check_password

from shoprepair.office.demo.people import LOG_INS
from shoprepair.shop.models import Staff


def is_known(password: str) -> bool:
    """Whether this is one of the passwords that the demo prints."""
    return any(password == one.password for one in LOG_INS)


def opens(person: Staff) -> bool:
    """Whether somebody logs in with such a password, their own or another's."""
    return person.has_usable_password() and any(
        check_password(one.password, person.password) for one in LOG_INS
    )


def shut_out(*, but: Staff) -> None:
    """Nobody else gets in with such a password any more; the owner gives each a new one."""
    for person in Staff.objects.exclude(pk=but.pk):
        if opens(person):
            person.set_unusable_password()
            person.save(update_fields=["password"])
