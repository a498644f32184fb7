"""Who works in the shop: adding people, changing what they work as, letting them go and back in."""

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from shoprepair.shop import journal, own_names, refusals, sessions
from shoprepair.shop.models import Language, Shop, Staff
from shoprepair.shop.said import gettext
from shoprepair.shop.settings import current


class LastOwner(ValueError):
    """The shop would be left with nobody who may open the office."""


class NameTaken(ValueError):
    """Somebody logs in by this name already."""


class OwnerExists(ValueError):
    """The shop has had its owner from the first; nobody may begin it again."""


def has_owner() -> bool:
    """Whether the shop has an owner. One who is switched off still counts: the shop is not up for grabs."""
    return Staff.objects.filter(role=Staff.Role.OWNER).exists()


def first_owner(
    *, shop_name: str, name: str, username: str, password: str, language: str = Language.ENGLISH
) -> Staff:
    """Make the first owner and name the shop; of two at the same moment one gets it.

    Raises OwnerExists for everybody after the first.
    """
    with transaction.atomic():
        shop = _alone()
        if has_owner():
            raise OwnerExists(gettext("This shop has its owner already. Log in."))
        owner = _create(name=name, username=username, role=Staff.Role.OWNER, password=password)
        shop.name, shop.language = shop_name, language
        shop.save(update_fields=["name", "language"])
        journal.record(
            owner,
            "staff.added",
            gettext("%(owner)s opened the shop as its owner.") % {"owner": owner},
            who=owner,
        )
    return owner


def add(*, name: str, username: str, role: str, password: str, who: Staff) -> Staff:
    """Let somebody new log in. Raises NameTaken when the log-in name is in use, in capitals or not."""
    with transaction.atomic():
        _alone()
        person = _create(name=name, username=username, role=role, password=password)
        journal.record(
            person,
            "staff.added",
            gettext("%(person)s was added: %(get_role_display)s.")
            % {"person": person, "get_role_display": person.get_role_display()},
            who=who,
        )
    return person


def change(person: Staff, *, name: str, role: str, who: Staff) -> dict[str, list[object]]:
    """Rename somebody or change what they work as; answers what changed.

    Raises LastOwner when nobody would be left to open the office.
    """
    with transaction.atomic():
        _alone()
        person.refresh_from_db()
        if role != Staff.Role.OWNER:
            _refuse_losing_the_last_owner(person, gettext("work as anything else"))
        changes = journal.differences(
            {"name": str(person), "role": person.role}, {"name": name, "role": role}
        )
        if changes:
            person.first_name, person.last_name, person.role = name, "", role
            person.save(update_fields=["first_name", "last_name", "role"])
            journal.record(
                person,
                "staff.changed",
                gettext("The account of %(person)s was changed.") % {"person": person},
                who=who,
                changes=changes,
            )
    return changes


def disable(person: Staff, *, who: Staff) -> None:
    """Shut somebody out from their next request on. Raises LastOwner."""
    with transaction.atomic():
        _alone()
        person.refresh_from_db()
        _refuse_losing_the_last_owner(person, gettext("be shut out"))
        sessions.end_all(person)
        _switch(
            person,
            False,
            "staff.disabled",
            gettext("%(person)s may no longer log in.") % {"person": person},
            who,
        )


def enable(person: Staff, *, who: Staff) -> None:
    """Let somebody in again, with the password they had."""
    with transaction.atomic():
        _alone()
        person.refresh_from_db()
        _switch(
            person, True, "staff.enabled", gettext("%(person)s may log in again.") % {"person": person}, who
        )


def set_password(person: Staff, password: str, *, who: Staff) -> None:
    """Give somebody a new password. It ends every log-in of theirs, trusted browsers and the PIN."""
    person.set_password(password)
    with transaction.atomic():
        person.save(update_fields=["password"])
        sessions.end_all(person)
        journal.record(
            person,
            "staff.password",
            gettext("%(person)s was given a new password.") % {"person": person},
            who=who,
        )


def password_faults(password: str, *, name: str, username: str, shop_name: str = "") -> list[str]:
    """What is wrong with a password for this person, a sentence each; empty when it will do.

    `shop_name` is what the shop is about to be called.
    """
    person = Staff(username=username, first_name=name)
    person.shop_name = shop_name  # type: ignore[attr-defined]
    try:
        validate_password(password, person)
    except ValidationError as refused:
        found = {fault.code: refusals.of_password(fault) for fault in refused.error_list}
        if "password_too_similar" in found:
            # The same again in other words.
            found.pop(own_names.CODE, None)
        return list(found.values())
    return []


def is_taken(username: str) -> bool:
    """Whether somebody logs in by this name, in capitals or not."""
    return Staff.objects.filter(username__iexact=username).exists()


def taken(username: str) -> str:
    """The sentence that says so."""
    return gettext("Somebody logs in as %(username)s already. Choose another name.") % {"username": username}


def is_last_owner(person: Staff) -> bool:
    """Whether the office would have nobody left without this person."""
    others = Staff.objects.filter(role=Staff.Role.OWNER, is_active=True).exclude(pk=person.pk)
    return person.is_owner and person.is_active and not others.exists()


def _alone() -> Shop:
    """The shop's row, held: whoever changes the staff does so one after the other."""
    return Shop.objects.select_for_update().get(pk=current().pk)


def _create(*, name: str, username: str, role: str, password: str) -> Staff:
    if is_taken(username):
        raise NameTaken(taken(username))
    return Staff.objects.create_user(username, password=password, first_name=name, role=role)


def _refuse_losing_the_last_owner(person: Staff, what: str) -> None:
    if is_last_owner(person):
        raise LastOwner(
            gettext(
                "%(person)s is the only owner who can log in and cannot %(what)s. Make "
                "somebody else an owner first."
            )
            % {"person": person, "what": what}
        )


def _switch(person: Staff, active: bool, verb: str, text: str, who: Staff) -> None:
    if person.is_active != active:
        person.is_active = active
        person.save(update_fields=["is_active"])
        journal.record(person, verb, text, who=who)
