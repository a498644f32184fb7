"""After the password a code: from a phone, or one of those that were written down."""

import base64
import datetime
import re
from collections.abc import Iterator
from io import StringIO
from urllib.parse import parse_qs, urlsplit

import pytest
import segno
import time_machine
from django.core.management import CommandError, call_command
from django_otp.oath import totp
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from shoprepair.shop import journal, second_factor
from shoprepair.shop.models import Staff, TrustedBrowser
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


def test_a_code_of_one_person_is_none_of_another_and_no_wrong_one_makes_others_wait(codes, owner, counter):
    for code in (codes[0], shown_by(owner), "000000"):
        with pytest.raises(WrongCode, match="not right"):
            second_factor.check(counter, code)

    assert second_factor.check(owner, shown_by(owner)) == ""
    assert second_factor.check(owner, codes[0])


def test_the_square_holds_what_such_apps_read(owner):
    phone = second_factor.begin(owner)
    found = urlsplit(second_factor.address(phone, "North Quay: Loft"))
    told = parse_qs(found.query)

    assert (found.scheme, found.netloc) == ("otpauth", "totp")
    assert found.path == "/North%20Quay%20%20Loft%3Aruna"
    assert "issuer=North%20Quay%20%20Loft&" in f"{found.query}&"
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


def test_setting_up_begins_anew_each_time_and_for_this_person_alone(clock, owner, counter):
    theirs = second_factor.begin(counter)
    first = second_factor.begin(owner)
    second = second_factor.begin(owner)
    assert (second_factor.begun(owner), second_factor.begun(counter)) == (second, theirs)
    assert (first.bin_key != second.bin_key, second_factor.phone_of(owner)) == (True, None)
    second_factor.confirm(owner, shown_by(owner, confirmed=False))
    assert (second_factor.phone_of(owner), second_factor.begun(owner)) == (second, None)
    assert (second_factor.is_set_up(owner), second_factor.is_set_up(counter)) == (True, False)
    assert second_factor.phone_of(counter) is None


def test_the_phone_in_use_goes_on_until_another_has_shown_a_code(codes, owner):
    in_use = second_factor.phone_of(owner)
    second_factor.begin(owner)
    with pytest.raises(WrongCode):
        second_factor.confirm(owner, "000000")

    assert second_factor.phone_of(owner) == in_use
    assert second_factor.check(owner, shown_by(owner)) == ""


def test_where_nothing_was_begun_nothing_is_confirmed(owner):
    with pytest.raises(ValueError) as refusal:
        second_factor.confirm(owner, "123456")
    assert str(refusal.value) == "Begin once more: there is nothing to confirm."


def test_setting_up_is_written_down_and_takes_the_place_of_all_before(codes, clock, owner, counter):
    for person in (owner, counter):
        TrustedBrowser.objects.create(
            person=person, token_hash=person.username, device="x", until=MORNING + datetime.timedelta(days=9)
        )
    second_factor.begin(owner)
    written = second_factor.confirm(owner, shown_by(owner, confirmed=False))
    assert (len(written), set(written) & set(codes)) == (10, set())
    assert TOTPDevice.objects.filter(user=owner).count() == StaticDevice.objects.count() == 1
    assert TrustedBrowser.objects.get().person == counter
    entry = journal.entries(owner).first()
    assert (entry.verb, entry.text, entry.who) == (
        "second-factor.set-up",
        "Runa Selvaag logs in with a second factor from now on.",
        owner,
    )


def test_a_secret_is_typed_in_groups_of_four_and_read_by_every_app(owner):
    phone = second_factor.begin(owner)
    groups = second_factor.secret(phone).split(" ")
    assert {len(group) for group in groups} == {4}
    assert base64.b32decode("".join(groups)) == phone.bin_key
    told = parse_qs(urlsplit(second_factor.address(phone, "Loft")).query)
    assert told["algorithm"] == ["SHA1"]
    assert parse_qs(urlsplit(second_factor.address(phone, " : ")).query)["issuer"] == ["Repair shop"]


def test_the_square_is_black_on_white_with_its_margin_and_goes_into_a_page_as_it_is(owner):
    phone = second_factor.begin(owner)
    drawn = second_factor.square(phone, "Loft")
    code = segno.make_qr(second_factor.address(phone, "Loft"), error="m")
    side = code.symbol_size(border=4)[0]
    assert f'viewBox="0 0 {side} {side}"' in drawn
    assert ('fill="#fff"' in drawn, 'stroke="#000"' in drawn) == (True, True)
    assert not any(word in drawn for word in ("<?xml", "xmlns", "width=", "height="))


def test_a_written_code_is_told_in_threes_of_four_and_its_use_is_written_down(codes, owner):
    assert all(re.fullmatch(r"([a-hjkmnp-z2-9]{4}-){2}[a-hjkmnp-z2-9]{4}", code) for code in codes)
    said = second_factor.check(owner, codes[0])
    assert said == "That code is used up. You have 9 left; you can make new ones under “How you log in”."
    entry = journal.entries(owner).first()
    assert (entry.verb, entry.text, entry.who) == (
        "second-factor.written-code",
        "Runa Selvaag logged in with a written code; 9 left.",
        owner,
    )
    assert second_factor.codes_left(owner) == 9


def test_written_codes_are_counted_for_each_person(codes, owner, counter):
    second_factor.new_codes(counter)
    second_factor.check(owner, codes[0])
    assert (second_factor.codes_left(owner), second_factor.codes_left(counter)) == (9, 10)


def test_a_code_written_down_years_ago_is_known_in_every_later_version(owner, settings):
    settings.SECRET_KEY = "a key of years ago"
    assert second_factor._hashes(Staff(pk=7), "abcdefghjkmn") == ["GX2YOCKU65Q7AN7E"]


def test_five_wrong_codes_in_a_row_are_told_once_and_in_words(codes, owner, clock):
    for _ in range(6):
        with pytest.raises(WrongCode) as wrong:
            second_factor.check(owner, "000000")
        assert str(wrong.value) == (
            "That code is not right, or was used. Give the one that your phone shows now."
        )
        clock.shift(120)
    [entry] = journal.entries(owner).filter(verb="second-factor.wrong")
    assert (entry.text, entry.who) == (
        "5 wrong codes were given for Runa Selvaag. Somebody may know the password.",
        None,
    )


def test_a_long_wait_is_told_in_minutes_and_a_short_one_in_seconds(codes, owner, clock):
    said = []
    for _ in range(8):
        with pytest.raises(WrongCode):
            second_factor.check(owner, "000000")
        with pytest.raises(WrongCode) as wait:
            second_factor.check(owner, "000000")
        said.append(str(wait.value))
        clock.shift(150)
    assert said[0] == "Too many wrong codes. Wait 1 second, then give the newest code."
    assert said[1] == "Too many wrong codes. Wait 2 seconds, then give the newest code."
    assert said[6] == "Too many wrong codes. Wait 64 seconds, then give the newest code."
    assert said[7] == "Too many wrong codes. Wait 3 minutes, then give the newest code."


def test_minutes_are_told_from_one_and_a_half_on_and_are_never_too_few(codes, owner, clock):
    TOTPDevice.objects.update(throttling_failure_count=8, throttling_failure_timestamp=MORNING)
    said = []
    for passed in (7, 8, 38, 39):
        clock.move_to(MORNING + datetime.timedelta(seconds=passed))
        with pytest.raises(WrongCode) as wait:
            second_factor.check(owner, "000000")
        said.append(re.search("Wait (.*), then", str(wait.value))[1])

    assert said == ["3 minutes", "2 minutes", "2 minutes", "89 seconds"]


def test_taking_it_away_is_told_once_and_touches_nobody_else(codes, owner, counter, clock):
    second_factor.begin(counter)
    second_factor.confirm(counter, shown_by(counter, confirmed=False))
    for person in (owner, counter):
        TrustedBrowser.objects.create(
            person=person, token_hash=person.username, device="x", until=MORNING + datetime.timedelta(days=9)
        )
    assert second_factor.remove(owner, who=None, who_name="the keeper") is True
    assert second_factor.remove(owner, who=counter) is False
    [entry] = journal.entries(owner).filter(verb="second-factor.taken-away")
    assert (entry.text, entry.who, entry.who_name) == (
        "The second factor of Runa Selvaag was taken away.",
        None,
        "the keeper",
    )
    assert second_factor.is_set_up(counter)
    assert (TrustedBrowser.objects.get().person, second_factor.codes_left(counter)) == (counter, 10)
