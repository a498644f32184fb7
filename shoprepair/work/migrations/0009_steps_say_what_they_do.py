"""What the English words of steps at the bench told the program until now, they say by codes."""

from typing import Any

from django.db import migrations
from django.db.models import Q


def say_what_they_do(apps: Any, _schema_editor: Any) -> None:
    """By the rules that read the words until now."""
    made = apps.get_model("work", "Step").objects.filter(does="", kind="repair")
    made.filter(Q(text__istartswith="sew") | Q(text__istartswith="close")).update(does="sew")
    left = made.filter(does="")
    left.filter(text__icontains="hot knife").update(does="knife")
    left.filter(Q(text__icontains="spread the adhesive") | Q(text__istartswith="glue")).update(does="glue")


class Migration(migrations.Migration):
    dependencies = [("work", "0008_step_does")]

    operations = [migrations.RunPython(say_what_they_do, migrations.RunPython.noop)]
