"""The letters as the program brings them, and what stands in a preview of them."""

from typing import Any

from shoprepair.shop.outbox import enquiry_texts, transfer_texts

COMMON = {
    "shop": "the shop's name",
    "customer": "the customer's name",
    "job": "the job's number",
    "gear": "what the job is about",
    "link": "the address of the customer's own page",
}

SAMPLES = {
    "shop": "North Quay Sail Loft",
    "customer": "Ida Vesterheim",
    "job": "0412",
    "gear": "Petrel 5.0, sea green",
    "link": "https://shop.example/s/a-long-secret-key/",
    "total": "US$248.50",
    "valid_until": "24 December 2026",
    "deposit": "US$80.00",
    "together": "US$329.00",
    "question": "Can it be ready before the weekend?",
    "answer": "Yes, on Friday after three if you agree today.",
    "damage": "35 mm seam opened, leading edge, 400 mm right of centre",
    "decision": "It is ours: we mend it, and you pay nothing for it.",
    "words": "The inner row of our patch let go. We sew it anew with three rows.",
    "other": "Brann Sollvik",
    "giver": "Ida Vesterheim",
    "taker": "Brann Sollvik",
    "agreed": "Patch on the leading edge: US$196.00\nOpening and closing the seam: US$52.50",
}

_QUOTE_OUT = """\
Hello {customer},

we have looked at your {gear} (job {job}). What we found, what we propose and what it costs \
stands on your own page:

{link}

In all: {total}. The quote is valid until {valid_until}.

Please say yes or no there, line by line where you can choose. You can also ask us anything.
The address above is your key to the page: pass it on only to those who may answer for you.

{shop}
"""

_QUOTE_REPLACED = """\
Hello {customer},

we have changed the quote for your {gear} (job {job}). The new one takes the place of the one before, which \
can no longer be answered:

{link}

In all: {total}. The quote is valid until {valid_until}.

{shop}
"""

_ADDITION_OUT = """\
Hello {customer},

while we worked on your {gear} (job {job}) we found more inside. What it is, and what it costs to \
mend it too, stands on your page:

{link}

For what was found: {total}.
Together with what you agreed: {together}.
Please say yes or no there until {valid_until}. What you agreed before holds either way, and the work on it \
goes on meanwhile.

{shop}
"""

_ADDITION_AGREED = """\
Hello {customer},

thank you. We mend what we found in your {gear} (job {job}) too. This is what was agreed in addition:

{agreed}

In all: {total}
Deposit: {deposit}
Together with what you agreed before: {together}

It stands on your page as you agreed to it: {link}

{shop}
"""

_QUESTION_ANSWERED = """\
Hello {customer},

you asked about your {gear} (job {job}):

{question}

Our answer:

{answer}

Both stand on your page, where you can ask again: {link}

{shop}
"""

_GO_AHEAD = """\
Hello {customer},

thank you. We have your go-ahead for your {gear} (job {job}). This is what was agreed:

{agreed}

In all: {total}
Deposit: {deposit}

We change nothing of it without asking you.

It stands on your page as you agreed to it: {link}

{shop}
"""

_CLAIM_DECIDED = """\
Hello {customer},

we have compared the new damage on your {gear} (job {job}) with what we repaired before.

{damage}

{decision}

{words}

It stands on your page, where you can ask us about it: {link}

{shop}
"""

_READY = """\
Hello {customer},

your {gear} (job {job}) is ready to be fetched.

To pay: {total}

What was done stands on your page: {link}

{shop}
"""


def _text(code: str, name: str, when: str, subject: str, body: str, **more: str) -> dict[str, Any]:
    placeholders = {**COMMON, **more}
    return {
        "code": code,
        "name": name,
        "when": when,
        "subject": subject,
        "body": body,
        "placeholders": placeholders,
    }


_TOGETHER = "the total with what was agreed before; where that cannot be said, its line is left out"
_QUOTE = {"total": "the quote's total", "valid_until": "the last day on which it can be accepted"}

PROGRAM_TEXTS = [
    _text(
        "quote-out",
        "The quote",
        "Goes when a job's first quote is sent out.",
        "{shop}: the quote for your {gear}",
        _QUOTE_OUT,
        **_QUOTE,
    ),
    _text(
        "quote-replaced",
        "A newer quote",
        "Goes when a newer quote takes the place of one that was out.",
        "{shop}: a newer quote for your {gear}",
        _QUOTE_REPLACED,
        **_QUOTE,
    ),
    _text(
        "addition-out",
        "An addition to the quote",
        "Goes when more was found in the work and its quote is sent out.",
        "{shop}: more was found in your {gear}",
        _ADDITION_OUT,
        together=_TOGETHER,
        **_QUOTE,
    ),
    _text(
        "addition-agreed",
        "Go-ahead for an addition",
        "Goes when the customer has accepted what was found in the work.",
        "{shop}: your go-ahead for what was found, job {job}",
        _ADDITION_AGREED,
        agreed="the lines that were agreed, one a line",
        total="what was agreed in addition",
        deposit="the deposit; where there is none, its line is left out",
        together=_TOGETHER,
    ),
    _text(
        "question-answered",
        "An answer to a question",
        "Goes when somebody in the shop replies to a customer's question.",
        "{shop}: our answer about your {gear}",
        _QUESTION_ANSWERED,
        question="what the customer asked",
        answer="what the shop replied",
    ),
    _text(
        "go-ahead-received",
        "Go-ahead received",
        "Goes when the customer has accepted the quote.",
        "{shop}: your go-ahead for job {job}",
        _GO_AHEAD,
        agreed="the lines that were agreed, one a line",
        total="what was agreed in all",
        deposit="the deposit; where there is none, its line is left out",
    ),
    _text(
        "claim-decided",
        "A claim is decided",
        "Goes when the owner has decided whether a damage is the shop’s own to mend.",
        "{shop}: what we decided about your {gear}",
        _CLAIM_DECIDED,
        damage="what was found, and where",
        decision="whether it is ours to mend or a new damage",
        words="the owner’s reason",
    ),
    _text(
        "ready",
        "Ready",
        "Goes when the job is ready to be fetched.",
        "{shop}: your {gear} is ready",
        _READY,
        total="what is to be paid",
    ),
    {
        "code": "transfer-offered",
        "name": "Gear offered to a new owner",
        "when": "Goes to both sides when gear is to pass to a new owner.",
        "subject": "{shop}: {gear} passes to a new owner",
        "body": transfer_texts.OFFERED,
        "placeholders": transfer_texts.PLACEHOLDERS,
    },
    {
        "code": "transfer-done",
        "name": "Gear passed to a new owner",
        "when": "Goes to both sides when both have agreed.",
        "subject": "{shop}: {gear} has passed to {taker}",
        "body": transfer_texts.DONE,
        "placeholders": transfer_texts.PLACEHOLDERS,
    },
    *enquiry_texts.TEXTS,
]
