from threading import Barrier, Thread

import pytest
from django.db import connection

from shoprepair.shop import journal, own_names, people
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current
from tests.factories import StaffFactory

GOOD_PASSWORD = "wet sand on the quay"


@pytest.mark.django_db
def test_somebody_added_can_log_in_with_their_password(owner: Staff) -> None:
    person = people.add(name="Aiko Brandt", username="aiko", role="bench", password=GOOD_PASSWORD, who=owner)

    assert person.check_password(GOOD_PASSWORD)
    assert str(person) == "Aiko Brandt"
    assert journal.entries(person).get().text == "Aiko Brandt was added: Bench."


@pytest.mark.django_db
def test_two_people_never_share_a_log_in_name_in_capitals_or_not(owner: Staff) -> None:
    with pytest.raises(people.NameTaken, match="Somebody logs in as Runa already"):
        people.add(name="Runa B", username="Runa", role="bench", password=GOOD_PASSWORD, who=owner)


@pytest.mark.django_db
def test_only_the_owner_who_is_left_alone_is_the_last_one(owner: Staff, bench: Staff) -> None:
    assert people.is_last_owner(owner)
    assert not people.is_last_owner(bench)

    second = StaffFactory(role="owner")
    assert not people.is_last_owner(owner)
    people.disable(second, who=owner)
    assert people.is_last_owner(owner)
    assert not people.is_last_owner(second)


@pytest.mark.django_db
def test_what_does_not_change_leaves_no_line_in_the_journal(owner: Staff, bench: Staff) -> None:
    assert people.change(bench, name=str(bench), role="bench", who=owner) == {}
    people.enable(bench, who=owner)

    assert not journal.entries(bench).exists()


@pytest.mark.django_db
def test_a_password_like_the_persons_own_name_will_not_do() -> None:
    faults = people.password_faults("aiko.brandt!", name="Aiko Brandt", username="aiko")

    assert faults == ["That is too much like the name of this person. Choose another."]
    assert people.password_faults(GOOD_PASSWORD, name="Aiko Brandt", username="aiko") == []


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("password", "will_do"),
    [
        ("northquay2026", False),
        ("North-Quay Sail Loft!!", False),
        ("sailloft1234", False),
        ("Aiko-Brandt-2026!!", False),
        ("nörthquay sail", False),
        ("north of the quay, purple gulls", True),
        (GOOD_PASSWORD, True),
    ],
)
def test_a_password_is_more_than_the_names_of_shop_and_person(password: str, will_do: bool) -> None:
    shop = current()
    shop.name = "North Quay Sail Loft"
    shop.save()

    assert (people.password_faults(password, name="Aiko Brandt", username="aiko") == []) is will_do


@pytest.mark.django_db
def test_the_name_that_the_shop_is_about_to_have_is_no_password_either() -> None:
    said = people.password_faults("lee-and-land 26", name="Aiko", username="aiko", shop_name="Lee and Land")

    assert said == [own_names.REFUSED]


@pytest.mark.django_db(transaction=True)
def test_two_owners_who_shut_each_other_out_at_once_leave_one() -> None:
    first, second = StaffFactory(role="owner"), StaffFactory(role="owner")
    start, refused = Barrier(2), []

    def shut_out(whom: Staff, who: Staff) -> None:
        try:
            start.wait()
            people.disable(Staff.objects.get(pk=whom.pk), who=who)
        except people.LastOwner:
            refused.append(whom)
        finally:
            connection.close()

    threads = [Thread(target=shut_out, args=pair) for pair in ((first, second), (second, first))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(refused) == 1
    assert Staff.objects.filter(role="owner", is_active=True).count() == 1
