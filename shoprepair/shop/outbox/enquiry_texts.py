"""The letter to whoever has sent an enquiry, one in each language that the self-check speaks.

It names nobody: whoever fills the form may give somebody else's address.
"""

from typing import Any

from shoprepair.shop.languages import gettext_lazy

PLACEHOLDERS = {
    "shop": gettext_lazy("the shop's name"),
    "job": gettext_lazy("the enquiry's number"),
    "link": gettext_lazy("the address of the sender's own page"),
}

_ENGLISH = """\
Hello,

thank you. We have your enquiry. Its number is {job}.

Nothing is agreed yet, and nothing costs you anything yet. Bring your gear in, or send it. Before you pack it:

- Let it dry to the bone.
- Shake the sand out.
- Roll it up. Do not fold it where it is damaged.

On your own page you see where it stands, print the slip for the parcel, and ask us anything:

{link}

The address above is your key to the page: pass it on only to those who may answer for you.
If you have not asked us anything, somebody gave us your address by mistake. Then there is nothing to do: \
when nothing comes in, we delete it.

{shop}
"""

_GERMAN = """\
Hallo,

danke, deine Anfrage ist da. Sie hat die Nummer {job}.

Noch ist nichts vereinbart, und noch kostet es nichts. Bring dein Material vorbei oder schick es uns. \
Bevor du packst:

- Lass alles ganz trocknen.
- Schüttel den Sand raus.
- Roll es auf. Falte es nicht am Schaden.

Auf deiner eigenen Seite siehst du, wie es steht. Dort kannst du auch den Begleitzettel für das Paket \
drucken und uns alles fragen:

{link}

Diese Adresse ist dein Schlüssel zu der Seite: Gib sie nur denen, die für dich antworten dürfen.
Du hast uns gar nichts gefragt? Dann hat uns jemand aus Versehen deine Adresse genannt. Du musst nichts tun: \
Kommt nichts bei uns an, löschen wir sie.

{shop}
"""

_SPANISH = """\
Hola:

Gracias. Tu consulta ha llegado. Su número es {job}.

Todavía no hay nada acordado y todavía no te cuesta nada. Trae tu equipo o envíalo. Antes de empaquetarlo:

- Déjalo secar del todo.
- Sacúdele la arena.
- Enróllalo. No lo dobles por donde está dañado.

En tu propia página ves cómo va, imprimes la nota de envío para el paquete y nos preguntas lo que quieras:

{link}

Esa dirección es tu llave de la página: dásela solo a quien pueda responder por ti.
¿No nos has preguntado nada? Entonces alguien nos dio tu dirección por error. No tienes que hacer nada: \
si no llega nada, la borramos.

{shop}
"""

TEXTS: list[dict[str, Any]] = [
    {
        "code": "enquiry-received",
        "name": gettext_lazy("Enquiry received"),
        "when": gettext_lazy(
            "Goes when somebody has sent an enquiry from the self-check and gave an e-mail address."
        ),
        "subject": "{shop}: we have your enquiry {job}",
        "body": _ENGLISH,
        "placeholders": PLACEHOLDERS,
    },
    {
        "code": "enquiry-received-de",
        "name": gettext_lazy("Enquiry received, in German"),
        "when": gettext_lazy("Goes in place of “Enquiry received” to whoever asked in German."),
        "subject": "{shop}: deine Anfrage {job} ist da",
        "body": _GERMAN,
        "placeholders": PLACEHOLDERS,
    },
    {
        "code": "enquiry-received-es",
        "name": gettext_lazy("Enquiry received, in Spanish"),
        "when": gettext_lazy("Goes in place of “Enquiry received” to whoever asked in Spanish."),
        "subject": "{shop}: tu consulta {job} ha llegado",
        "body": _SPANISH,
        "placeholders": PLACEHOLDERS,
    },
]
