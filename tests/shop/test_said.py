"""What the journal keeps is said again in the language of whoever reads it."""

import pytest
from django.utils import translation

from shoprepair.shop import journal
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import JournalEntry
from shoprepair.shop.said import again, gettext, keep, ngettext


def test_a_sentence_remembers_its_english_and_its_values():
    with translation.override("de"):
        said = gettext("Question: %(text)s") % {"text": "50 % off?"}
    assert said == "Frage: 50 % off?"
    assert said.kept == ["Question: %(text)s", {"text": "50 % off?"}]
    with translation.override("es"):
        assert again(said.kept) == "Pregunta: 50 % off?"
    assert again(said.kept) == "Question: 50 % off?"


def test_a_sentence_within_a_sentence_is_said_again_too():
    inner = ngettext("%(n)s day", "%(n)s days", 3) % {"n": 3}
    said = gettext("Question: %(text)s") % {"text": inner}
    with translation.override("de"):
        assert again(said.kept) == "Frage: 3 Tage"
        assert again(keep(gettext_lazy("Bench"))) == "Werkbank"


def test_a_name_read_from_the_right_is_parted_from_the_sentence_round_it():
    said = gettext("Question: %(text)s") % {"text": "נעמה"}
    assert again(said.kept) == "Question: \N{FIRST STRONG ISOLATE}נעמה\N{POP DIRECTIONAL ISOLATE}"
    assert again((gettext("Question: %(text)s") % {"text": "Þórdís"}).kept) == "Question: Þórdís"


def test_what_is_joined_to_something_else_is_a_plain_text():
    assert type(gettext("Bench") + ".") is str
    assert type(f"{gettext('Bench')}.") is str


@pytest.mark.django_db
def test_an_entry_written_in_one_language_is_read_in_every_other(counter):
    with translation.override("de"):
        journal.record("shop:1", "x", gettext("Question: %(text)s") % {"text": "Wann?"}, who=counter)
    entry = JournalEntry.objects.get()

    assert entry.text == "Frage: Wann?"
    assert journal.words(entry) == "Question: Wann?"
    with translation.override("es"):
        assert journal.words(entry) == "Pregunta: Wann?"


@pytest.mark.django_db
def test_an_entry_from_before_is_read_as_it_was_written(counter):
    journal.record("shop:1", "x", "Frage: Wann?", who=counter)
    entry = JournalEntry.objects.get()
    assert entry.said is None
    assert journal.words(entry) == "Frage: Wann?"


@pytest.mark.django_db
def test_an_entry_whose_words_the_program_no_longer_has_is_read_as_it_was_written(counter):
    entry = journal.record("shop:1", "x", "Old words, 3.", who=counter)
    entry.said = ["Old words, %(n)s %(more)s.", {"n": 3}]
    assert journal.words(entry) == "Old words, 3."
