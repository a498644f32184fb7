"""The letters about gear that passes to a new owner. They are about no job."""

PLACEHOLDERS = {
    "shop": "the shop's name",
    "customer": "the customer's name",
    "other": "the name on the other side",
    "giver": "whose gear it was",
    "taker": "whose gear it becomes",
    "gear": "which gear passes on",
    "link": "the address of this customer's own page",
}

OFFERED = """\
Hello {customer},

{giver} wants to pass this gear on to {taker}:

{gear}

Which of our covers on its repairs go along, and on what terms, stands on your own page:

{link}

Please read it, then agree or refuse there. It is done once both of you have agreed; until then \
nothing changes.
The address above is your key to the page: pass it on to nobody.

{shop}
"""

DONE = """\
Hello {customer},

both of you have agreed: {gear} has passed from {giver} to {taker}.

Which of our covers went along stands on your page: {link}

{shop}
"""
