"""After the password a code: from a phone, or one of those that were written down."""

import datetime
from collections.abc import Iterator
from io import StringIO
from urllib.parse import parse_qs, urlsplit

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django_otp.oath import totp
from django_otp.plugins.otp_static.models import StaticToken

from shoprepair.shop import journal, second_factor
from shoprepair.shop.models import Staff
from shoprepair.shop.second_factor import WrongCode

pytestmark = pytest.mark.django_db
MORNING = datetime.datetime(2026, 11, 25, 8, 0, 10, tzinfo=datetime.UTC)


@pytest.fixture
def clock() -> Iterator[time_machine.Traveller]:
    with time_machine.travel(MORNING, tick=False) as traveller:
        yield traveller


@pytest.fixture
def codes(clock: time_machine.Traveller, owner: Staff) -> list[str]:
    """The owner has set up a phone; these are the codes to write down. A minute has passed."""
    second_factor.begin(owner)
    written = second_factor.confirm(owner, shown_by(owner, confirmed=False))
    clock.shift(60)
    return written


def shown_by(person: Staff, *, confirmed: bool = True) -> str:
    """What the phone shows now."""
    phone = second_factor.phone_of(person) if confirmed else second_factor.begun(person)
    return f"{totp(phone.bin_key):06d}"


def verbs(person: Staff) -> list[str]:
    return [entry.verb for entry in journal.entries(person)]


def test_nothing_is_asked_for_until_the_phone_has_shown_a_right_code(clock, owner):
    second_factor.begin(owner)
    with pytest.raises(WrongCode):
        second_factor.confirm(owner, "000000")

    assert not second_factor.is_set_up(owner)


def test_a_code_lets_in_once_and_no_second_time(codes, owner):
    code = shown_by(owner)

    assert second_factor.check(owner, f" {code[:3]} {code[3:]} ") == ""
    with pytest.raises(WrongCode, match="not right, or was used"):
        second_factor.check(owner, code)


def test_an_old_code_lets_nobody_in(codes, owner, clock):
    code = shown_by(owner)
    clock.shift(120)

    with pytest.raises(WrongCode):
        second_factor.check(owner, code)


def test_after_wrong_codes_even_the_right_one_waits_longer_each_time(codes, owner, clock):
    for wait in (1, 2, 4, 8, 16):
        with pytest.raises(WrongCode, match="not right"):
            second_factor.check(owner, "000000")
        with pytest.raises(WrongCode, match=f"Wait {wait} second"):
            second_factor.check(owner, shown_by(owner))
        clock.shift(wait)

    assert second_factor.check(owner, shown_by(owner)) == ""
    assert verbs(owner).count("second-factor.wrong") == 1


def test_a_written_code_lets_in_once_and_says_how_many_are_left(codes, owner, clock):
    assert "You have 9 left" in second_factor.check(owner, codes[3].upper().replace("-", " "))
    with pytest.raises(WrongCode):
        second_factor.check(owner, codes[3])
    clock.shift(2)
    assert "You have 8 left" in second_factor.check(owner, codes[4])


def test_new_written_codes_end_the_old_ones(codes, owner, clock):
    new = second_factor.new_codes(owner)

    with pytest.raises(WrongCode):
        second_factor.check(owner, codes[0])
    clock.shift(2)
    assert second_factor.check(owner, new[0])


def test_of_a_written_code_only_a_keyed_hash_is_kept(codes):
    kept = set(StaticToken.objects.values_list("token", flat=True))

    assert len(kept) == 10
    assert len({code.replace("-", "") for code in codes}) == 10
    assert not kept & {code.replace("-", "") for code in codes}


def test_a_written_code_outlives_a_change_of_the_shops_key(codes, owner, settings):
    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = "another key " * 6, [settings.SECRET_KEY]

    assert "You have 9 left" in second_factor.check(owner, codes[0])


def test_a_code_of_one_person_is_none_of_another(codes, counter):
    with pytest.raises(WrongCode):
        second_factor.check(counter, codes[0])


def test_the_square_holds_what_such_apps_read(owner):
    phone = second_factor.begin(owner)
    found = urlsplit(second_factor.address(phone, "North Quay: Loft"))
    told = parse_qs(found.query)

    assert (found.scheme, found.netloc) == ("otpauth", "totp")
    assert found.path == "/North%20Quay%20%20Loft%3Aruna"
    assert told["secret"] == [second_factor.secret(phone).replace(" ", "")]
    assert (told["issuer"], told["digits"], told["period"]) == (["North Quay  Loft"], ["6"], ["30"])
    assert second_factor.square(phone, "Loft").startswith("<svg")


def test_whoever_keeps_the_machine_helps_out_who_lost_both(codes, owner):
    said = StringIO()
    call_command("second_factor", "--remove", "RUNA", stdout=said)

    assert "password alone" in said.getvalue()
    assert not second_factor.is_set_up(owner)
    assert not StaticToken.objects.exists()
    assert verbs(owner)[0] == "second-factor.taken-away"


@pytest.mark.parametrize(
    ("name", "why"), [("runa", "has no second factor"), ("nobody", "Nobody logs in as nobody")]
)
def test_the_command_says_where_there_is_nothing_to_take_away(owner, name, why):
    with pytest.raises(CommandError, match=why):
        call_command("second_factor", "--remove", name)
