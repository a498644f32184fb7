"""The wording of every letter: the program's own, and the owner's where it differs."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.db import IntegrityError, transaction
from django.db.models import F

from shoprepair.shop import journal
from shoprepair.shop.changes import ChangedMeanwhile
from shoprepair.shop.languages import thousands
from shoprepair.shop.models import MailText, Staff
from shoprepair.shop.outbox.program_texts import PROGRAM_TEXTS, SAMPLES
from shoprepair.shop.outbox.wording import cleaned, fill, names_in, one_line
from shoprepair.shop.said import gettext

LONGEST_SUBJECT = 200
LONGEST_BODY = 10_000


@dataclass(frozen=True, slots=True)
class Text:
    """One kind of letter."""

    code: str
    name: str
    when: str
    """When it goes, as a sentence."""
    subject: str
    body: str
    placeholders: dict[str, str]
    """Name to what it says."""


TEXTS: dict[str, Text] = {text["code"]: Text(**text) for text in PROGRAM_TEXTS}


@dataclass(frozen=True, slots=True)
class Wording:
    """How a letter reads today; `version` is 0 until somebody changes it."""

    subject: str
    body: str
    version: int
    own: bool
    """Whether it is the owner's wording rather than the program's."""


class TextRefused(ValueError):
    """A wording that cannot be taken; `field` is where, the message one sentence."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


def wording(code: str) -> Wording:
    """How this letter is worded now, by the program in the language spoken. KeyError where there is none."""
    text = TEXTS[code]
    own = MailText.objects.filter(code=code).first()
    if own is None or not own.subject:
        return Wording(str(text.subject), str(text.body), own.version if own else 0, False)
    return Wording(own.subject, own.body, own.version, True)


def render(code: str, values: Mapping[str, str]) -> tuple[str, str]:
    """Subject and body as they go out; ValueError naming the placeholders that have no value."""
    if missing := [name for name in TEXTS[code].placeholders if name not in values]:
        raise ValueError(
            gettext("The letter %(code)s lacks %(join)s.") % {"code": code, "join": ", ".join(missing)}
        )
    said = wording(code)
    return _filled(said.subject, said.body, values)


def preview(code: str, subject: str, body: str, own: Mapping[str, str] | None = None) -> tuple[str, str]:
    """Subject and body as they would go out, with sample values, the shop's `own` where it has them.

    Raises TextRefused as `change`.
    """
    check(code, subject, body)
    known = SAMPLES | dict(own or {})
    return _filled(subject, body, {name: known[name] for name in TEXTS[code].placeholders})


def change(code: str, *, who: Staff, version: int, subject: str, body: str) -> Wording:
    """Word a letter anew, from the next one on; letters already written stay as they are.

    Raises TextRefused for a wording that cannot be taken, ChangedMeanwhile when somebody else changed
    it after `version`.
    """
    check(code, subject, body)
    fields = {"subject": one_line(subject), "body": cleaned(body).strip()}
    return _save(code, fields, who, version, gettext("was worded anew"))


def reset(code: str, *, who: Staff, version: int) -> Wording:
    """Go back to the program's own wording. Raises ChangedMeanwhile as `change`."""
    return _save(
        code, {"subject": "", "body": ""}, who, version, gettext("has the program's own wording again")
    )


def check(code: str, subject: str, body: str) -> None:
    """Raise TextRefused for a subject or body that is empty, too long, or has an unknown placeholder."""
    check_one(code, "subject", subject)
    check_one(code, "body", body)


def check_one(code: str, field: str, words: str) -> None:
    """Check the subject or the body alone; see `check`."""
    longest = LONGEST_SUBJECT if field == "subject" else LONGEST_BODY
    if not cleaned(words).strip():
        raise TextRefused(
            field,
            gettext("A letter needs a subject.") if field == "subject" else gettext("Write the letter."),
        )
    if len(words) > longest:
        raise TextRefused(
            field,
            gettext("At most %(longest)s characters; this has %(words)s.")
            % {"longest": thousands(longest), "words": thousands(len(words))},
        )
    _check_placeholders(code, field, words)


def _check_placeholders(code: str, field: str, words: str) -> None:
    known = TEXTS[code].placeholders
    unknown = [name for name in names_in(words) if name not in known]
    if unknown:
        wrong = ", ".join(f"{{{name[:40]}}}" for name in unknown[:5])
        right = ", ".join(f"{{{name}}}" for name in known)
        raise TextRefused(
            field,
            gettext("This letter knows no %(wrong)s. It can say %(right)s.")
            % {"wrong": wrong, "right": right},
        )


def _filled(subject: str, body: str, values: Mapping[str, str]) -> tuple[str, str]:
    clean = {name: cleaned(value) for name, value in values.items()}
    return one_line(fill(subject, clean)), fill(cleaned(body), clean).strip() + "\n"


def _save(code: str, fields: dict[str, str], who: Staff, version: int, what: str) -> Wording:
    before = wording(code)
    with transaction.atomic():
        if version == 0:
            _create(code, fields)
        elif not MailText.objects.filter(code=code, version=version).update(
            version=F("version") + 1, **fields
        ):
            raise ChangedMeanwhile
        after = wording(code)
        changes = journal.differences(
            {"subject": before.subject, "body": before.body}, {"subject": after.subject, "body": after.body}
        )
        journal.record(f"mail-text:{code}", "mail-text.changed", _said(code, what), who=who, changes=changes)
    return after


def _create(code: str, fields: dict[str, str]) -> None:
    try:
        with transaction.atomic():
            MailText.objects.create(code=code, **fields)
    except IntegrityError:
        raise ChangedMeanwhile from None


def _said(code: str, what: str) -> str:
    return gettext("The letter “%(name)s” %(what)s.") % {"name": TEXTS[code].name, "what": what}
