"""The letters as the program brings them, and what stands in a preview of them."""

from typing import Any

from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.outbox import enquiry_texts, transfer_texts

COMMON = {
    "shop": gettext_lazy("the shop's name"),
    "customer": gettext_lazy("the customer's name"),
    "job": gettext_lazy("the job's number"),
    "gear": gettext_lazy("what the job is about"),
    "link": gettext_lazy("the address of the customer's own page"),
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

_QUOTE_OUT = gettext_lazy("""\
Hello {customer},

we have looked at your {gear} (job {job}). What we found, what we propose and what it costs \
stands on your own page:

{link}

In all: {total}. The quote is valid until {valid_until}.

Please say yes or no there, line by line where you can choose. You can also ask us anything.
The address above is your key to the page: pass it on only to those who may answer for you.

{shop}
""")

_QUOTE_REPLACED = gettext_lazy("""\
Hello {customer},

we have changed the quote for your {gear} (job {job}). The new one takes the place of the one before, which \
can no longer be answered:

{link}

In all: {total}. The quote is valid until {valid_until}.

{shop}
""")

_ADDITION_OUT = gettext_lazy("""\
Hello {customer},

while we worked on your {gear} (job {job}) we found more inside. What it is, and what it costs to \
mend it too, stands on your page:

{link}

For what was found: {total}.
Together with what you agreed: {together}.
Please say yes or no there until {valid_until}. What you agreed before holds either way, and the work on it \
goes on meanwhile.

{shop}
""")

_ADDITION_AGREED = gettext_lazy("""\
Hello {customer},

thank you. We mend what we found in your {gear} (job {job}) too. This is what was agreed in addition:

{agreed}

In all: {total}
Deposit: {deposit}
Together with what you agreed before: {together}

It stands on your page as you agreed to it: {link}

{shop}
""")

_QUESTION_ANSWERED = gettext_lazy("""\
Hello {customer},

you asked about your {gear} (job {job}):

{question}

Our answer:

{answer}

Both stand on your page, where you can ask again: {link}

{shop}
""")

_GO_AHEAD = gettext_lazy("""\
Hello {customer},

thank you. We have your go-ahead for your {gear} (job {job}). This is what was agreed:

{agreed}

In all: {total}
Deposit: {deposit}

We change nothing of it without asking you.

It stands on your page as you agreed to it: {link}

{shop}
""")

_CLAIM_DECIDED = gettext_lazy("""\
Hello {customer},

we have compared the new damage on your {gear} (job {job}) with what we repaired before.

{damage}

{decision}

{words}

It stands on your page, where you can ask us about it: {link}

{shop}
""")

_READY = gettext_lazy("""\
Hello {customer},

your {gear} (job {job}) is ready to be fetched.

To pay: {total}

What was done stands on your page: {link}

{shop}
""")


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


_TOGETHER = gettext_lazy(
    "the total with what was agreed before; where that cannot be said, its line is left out"
)
_QUOTE = {
    "total": gettext_lazy("the quote's total"),
    "valid_until": gettext_lazy("the last day on which it can be accepted"),
}

PROGRAM_TEXTS = [
    _text(
        "quote-out",
        gettext_lazy("The quote"),
        gettext_lazy("Goes when a job's first quote is sent out."),
        gettext_lazy("{shop}: the quote for your {gear}"),
        _QUOTE_OUT,
        **_QUOTE,
    ),
    _text(
        "quote-replaced",
        gettext_lazy("A newer quote"),
        gettext_lazy("Goes when a newer quote takes the place of one that was out."),
        gettext_lazy("{shop}: a newer quote for your {gear}"),
        _QUOTE_REPLACED,
        **_QUOTE,
    ),
    _text(
        "addition-out",
        gettext_lazy("An addition to the quote"),
        gettext_lazy("Goes when more was found in the work and its quote is sent out."),
        gettext_lazy("{shop}: more was found in your {gear}"),
        _ADDITION_OUT,
        together=_TOGETHER,
        **_QUOTE,
    ),
    _text(
        "addition-agreed",
        gettext_lazy("Go-ahead for an addition"),
        gettext_lazy("Goes when the customer has accepted what was found in the work."),
        gettext_lazy("{shop}: your go-ahead for what was found, job {job}"),
        _ADDITION_AGREED,
        agreed=gettext_lazy("the lines that were agreed, one a line"),
        total=gettext_lazy("what was agreed in addition"),
        deposit=gettext_lazy("the deposit; where there is none, its line is left out"),
        together=_TOGETHER,
    ),
    _text(
        "question-answered",
        gettext_lazy("An answer to a question"),
        gettext_lazy("Goes when somebody in the shop replies to a customer's question."),
        gettext_lazy("{shop}: our answer about your {gear}"),
        _QUESTION_ANSWERED,
        question=gettext_lazy("what the customer asked"),
        answer=gettext_lazy("what the shop replied"),
    ),
    _text(
        "go-ahead-received",
        gettext_lazy("Go-ahead received"),
        gettext_lazy("Goes when the customer has accepted the quote."),
        gettext_lazy("{shop}: your go-ahead for job {job}"),
        _GO_AHEAD,
        agreed=gettext_lazy("the lines that were agreed, one a line"),
        total=gettext_lazy("what was agreed in all"),
        deposit=gettext_lazy("the deposit; where there is none, its line is left out"),
    ),
    _text(
        "claim-decided",
        gettext_lazy("A claim is decided"),
        gettext_lazy("Goes when the owner has decided whether a damage is the shop’s own to mend."),
        gettext_lazy("{shop}: what we decided about your {gear}"),
        _CLAIM_DECIDED,
        damage=gettext_lazy("what was found, and where"),
        decision=gettext_lazy("whether it is ours to mend or a new damage"),
        words=gettext_lazy("the owner’s reason"),
    ),
    _text(
        "ready",
        gettext_lazy("Ready"),
        gettext_lazy("Goes when the job is ready to be fetched."),
        gettext_lazy("{shop}: your {gear} is ready"),
        _READY,
        total=gettext_lazy("what is to be paid"),
    ),
    {
        "code": "transfer-offered",
        "name": gettext_lazy("Gear offered to a new owner"),
        "when": gettext_lazy("Goes to both sides when gear is to pass to a new owner."),
        "subject": gettext_lazy("{shop}: {gear} passes to a new owner"),
        "body": transfer_texts.OFFERED,
        "placeholders": transfer_texts.PLACEHOLDERS,
    },
    {
        "code": "transfer-done",
        "name": gettext_lazy("Gear passed to a new owner"),
        "when": gettext_lazy("Goes to both sides when both have agreed."),
        "subject": gettext_lazy("{shop}: {gear} has passed to {taker}"),
        "body": transfer_texts.DONE,
        "placeholders": transfer_texts.PLACEHOLDERS,
    },
    *enquiry_texts.TEXTS,
]
