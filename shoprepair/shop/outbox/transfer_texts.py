"""The letters about gear that passes to a new owner. They are about no job."""

from shoprepair.shop.languages import gettext_lazy

PLACEHOLDERS = {
    "shop": gettext_lazy("the shop's name"),
    "customer": gettext_lazy("the customer's name"),
    "other": gettext_lazy("the name on the other side"),
    "giver": gettext_lazy("whose gear it was"),
    "taker": gettext_lazy("whose gear it becomes"),
    "gear": gettext_lazy("which gear passes on"),
    "link": gettext_lazy("the address of this customer's own page"),
}

OFFERED = gettext_lazy("""\
Hello {customer},

{giver} wants to pass this gear on to {taker}:

{gear}

Which of our covers on its repairs go along, and on what terms, stands on your own page:

{link}

Please read it, then agree or refuse there. It is done once both of you have agreed; until then \
nothing changes.
The address above is your key to the page: pass it on to nobody.

{shop}
""")

DONE = gettext_lazy("""\
Hello {customer},

both of you have agreed: {gear} has passed from {giver} to {taker}.

Which of our covers went along stands on your page: {link}

{shop}
""")
