"""`make contact-sheet`: pictures of every screen and paper, in all states, on one sheet.

INTO=folder says where to; ONLY=rack,job, SIZES=phone,paper and STATES=many,wrong choose.
"""

import os
import sys

import django

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shoprepair.settings")
    django.setup()
    from tests.pictures.whole import main

    sys.exit(main())
