from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("cover", "0002_covers_stay_as_given")]

    operations = [
        migrations.AddField(
            model_name="transfer",
            name="not_passed",
            field=models.JSONField(
                blank=True, default=list, help_text="Numbers of the covers that ended with the former owner."
            ),
        ),
    ]
