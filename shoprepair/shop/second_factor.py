"""The second factor: besides the password a code from a phone, or one of ten that were written down.

The codes follow RFC 6238; reckoning, replays and the growing pause after wrong ones are django-otp's. Of the
written codes only keyed hashes are kept.
"""

import base64
import datetime
import io
import secrets
from urllib.parse import quote, urlencode

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from shoprepair.shop import browsers, cookies, journal, keys
from shoprepair.shop.models import Staff, TrustedBrowser
from shoprepair.shop.said import gettext, ngettext

WRITTEN_CODES = 10
TRUSTED_FOR = datetime.timedelta(days=30)
LATER = datetime.timedelta(days=7)
TOLD_AT = 5
"""So many wrong codes in a row stand in the journal, where the owner finds them."""
_TRUSTED, _LATER = "known", "later"
_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
_SALT = "shoprepair.shop.second_factor"


class WrongCode(ValueError):
    """The code lets nobody in; the message says what to do."""


def phone_of(person: Staff) -> TOTPDevice | None:
    """What makes somebody's codes, once it has shown that it does."""
    return TOTPDevice.objects.filter(user=person, confirmed=True).first()


def is_set_up(person: Staff) -> bool:
    return bool(TOTPDevice.objects.filter(user=person, confirmed=True).exists())


def begun(person: Staff) -> TOTPDevice | None:
    """What somebody has begun to set up and not shown to work yet."""
    return TOTPDevice.objects.filter(user=person, confirmed=False).first()


def begin(person: Staff) -> TOTPDevice:
    """A new secret for somebody's phone. Until it has shown a code nothing is asked for."""
    with transaction.atomic():
        TOTPDevice.objects.filter(user=person, confirmed=False).delete()
        return TOTPDevice.objects.create(user=person, name="phone", confirmed=False)


def secret(phone: TOTPDevice) -> str:
    """The secret as somebody types it who cannot scan: in groups of four."""
    plain = base64.b32encode(phone.bin_key).decode().rstrip("=")
    return " ".join(plain[at : at + 4] for at in range(0, len(plain), 4))


def address(phone: TOTPDevice, shop: str) -> str:
    """What the square holds, as apps for such codes read it."""
    issuer = shop.replace(":", " ").strip() or gettext("Repair shop")
    told = {"secret": secret(phone).replace(" ", ""), "issuer": issuer, "digits": phone.digits}
    told |= {"period": phone.step, "algorithm": "SHA1"}
    name = quote(f"{issuer}:{phone.user.get_username()}")
    return f"otpauth://totp/{name}?{urlencode(told, quote_via=quote)}"


def square(phone: TOTPDevice, shop: str) -> SafeString:
    """The same as a QR code to scan, an SVG."""
    # Drawn a few times in a shop's life, and near a hundredth of each start of the server.
    import segno

    buffer = io.BytesIO()
    code = segno.make_qr(address(phone, shop), error="m")
    code.save(
        buffer, kind="svg", border=4, dark="#000", light="#fff", xmldecl=False, svgns=False, omitsize=True
    )
    return mark_safe(buffer.getvalue().decode())  # noqa: S308 - drawn here, and without any text


def confirm(person: Staff, code: str) -> list[str]:
    """Take the phone that was begun, once it shows the right code; the codes to write down.

    Raises WrongCode; ValueError where nothing was begun.
    """
    if (phone := begun(person)) is None:
        raise ValueError(gettext("Begin once more: there is nothing to confirm."))
    _check(TOTPDevice, phone.pk, _figures(code))
    with transaction.atomic():
        TOTPDevice.objects.filter(user=person).exclude(pk=phone.pk).delete()
        TOTPDevice.objects.filter(pk=phone.pk).update(confirmed=True)
        TrustedBrowser.objects.filter(person=person).delete()
        text = gettext("%(person)s logs in with a second factor from now on.") % {"person": person}
        journal.record(person, "second-factor.set-up", text, who=person)
        return new_codes(person)


def check(person: Staff, code: str) -> str:
    """Take a code from the phone, or a written one which is then used up; a sentence where that is so.

    Raises WrongCode.
    """
    figures = _figures(code)
    if len(figures) == 6 and figures.isdigit():
        phone = phone_of(person)
        _check(TOTPDevice, phone.pk if phone else 0, figures)
        return ""
    paper = StaticDevice.objects.filter(user=person).first()
    _check(StaticDevice, paper.pk if paper else 0, *_hashes(person, figures))
    left = codes_left(person)
    text = gettext("%(person)s logged in with a written code; %(left)s left.") % {
        "person": person,
        "left": left,
    }
    journal.record(person, "second-factor.written-code", text, who=person)
    return gettext(
        "That code is used up. You have %(left)s left; you can make new ones under “How you log in”."
    ) % {"left": left}


def new_codes(person: Staff) -> list[str]:
    """Ten codes to write down in place of any before; they are told this once."""
    codes = [_code() for _ in range(WRITTEN_CODES)]
    with transaction.atomic():
        StaticDevice.objects.filter(user=person).delete()
        paper = StaticDevice.objects.create(user=person, name="paper")
        tokens = [StaticToken(device=paper, token=_hashes(person, _figures(code))[0]) for code in codes]
        StaticToken.objects.bulk_create(tokens)
    return codes


def codes_left(person: Staff) -> int:
    return int(StaticToken.objects.filter(device__user=person).count())


def remove(person: Staff, *, who: Staff | None, who_name: str = "") -> bool:
    """Ask somebody for the password alone again; whether more was asked before."""
    with transaction.atomic():
        found = TOTPDevice.objects.filter(user=person).delete()[0]
        StaticDevice.objects.filter(user=person).delete()
        TrustedBrowser.objects.filter(person=person).delete()
        if found:
            text = gettext("The second factor of %(person)s was taken away.") % {"person": person}
            journal.record(person, "second-factor.taken-away", text, who=who, who_name=who_name)
    return bool(found)


def is_asked(request: HttpRequest, person: Staff) -> bool:
    """Whether this person must give a code in this browser."""
    if not is_set_up(person):
        return False
    token = cookies.given(request, _TRUSTED, TRUSTED_FOR)
    known = TrustedBrowser.objects.filter(person=person, until__gt=timezone.now())
    return not (token and known.filter(token_hash=cookies.digest(token)).exists())


def trust(request: HttpRequest, response: HttpResponse, person: Staff) -> None:
    """Ask this person for no code in this browser for a while."""
    token = cookies.new_token()
    TrustedBrowser.objects.create(
        person=person,
        token_hash=cookies.digest(token),
        device=browsers.in_words(request),
        until=timezone.now() + TRUSTED_FOR,
    )
    cookies.give(response, _TRUSTED, token, TRUSTED_FOR)


def should_be_set_up(request: HttpRequest, person: Staff) -> bool:
    """Whether to remind an owner who has none, unless they put it off this week."""
    put_off = cookies.given(request, _LATER, LATER) == str(person.pk)
    return person.is_owner and not put_off and not is_set_up(person)


def put_off(response: HttpResponse, person: Staff) -> None:
    """Remind this person in a week, not before."""
    cookies.give(response, _LATER, str(person.pk), LATER)


def _check(kind: type[TOTPDevice | StaticDevice], pk: int, *tokens: str) -> None:
    """Try a code under one of its forms. The row is held, so that a code counts once for two at once."""
    with transaction.atomic():
        device = kind.objects.select_for_update().filter(pk=pk).first()
        wait = _wait(device)
        known = [token for token in tokens if kind is TOTPDevice or _is_kept(pk, token)] or tokens[:1]
        right = bool(device and not wait and device.verify_token(known[0]))
    if wait:
        raise WrongCode(
            gettext("Too many wrong codes. Wait %(wait)s, then give the newest code.") % {"wait": wait}
        )
    if not right:
        _tell(device)
        raise WrongCode(
            gettext("That code is not right, or was used. Give the one that your phone shows now.")
        )


def _is_kept(pk: int, token: str) -> bool:
    return bool(StaticToken.objects.filter(device=pk, token=token).exists())


def _wait(device: TOTPDevice | StaticDevice | None) -> str:
    why = device.verify_is_allowed()[1] if device else None
    if why is None:
        return ""
    seconds = max(1, round((why["locked_until"] - timezone.now()).total_seconds()))
    if seconds < 90:
        return ngettext("%(seconds)s second", "%(seconds)s seconds", seconds) % {"seconds": seconds}
    return gettext("%(value)s minutes") % {"value": -(-seconds // 60)}


def _tell(device: TOTPDevice | StaticDevice | None) -> None:
    if device and device.throttling_failure_count == TOLD_AT:
        text = gettext("%(TOLD_AT)s wrong codes were given for %(user)s. Somebody may know the password.") % {
            "TOLD_AT": TOLD_AT,
            "user": device.user,
        }
        journal.record(device.user, "second-factor.wrong", text, who=None)


def _code() -> str:
    letters = "".join(secrets.choice(_LETTERS) for _ in range(12))
    return f"{letters[:4]}-{letters[4:8]}-{letters[8:]}"


def _figures(code: str) -> str:
    return "".join(letter for letter in code.lower() if letter.isalnum())[:40]


def _hashes(person: Staff, code: str) -> list[str]:
    """A written code as it may be kept: with the present key first, then with those of earlier days."""
    text = f"{person.pk}:{code}"
    return [base64.b32encode(keys.code(_SALT, text, key)).decode()[:16] for key in keys.known()]
