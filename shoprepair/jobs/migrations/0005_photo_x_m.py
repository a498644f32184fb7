from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("jobs", "0004_enquiries")]
    operations = [
        migrations.AddField(
            model_name="photo",
            name="x_m",
            field=models.FloatField(
                blank=True,
                help_text="The point of the drawing it was taken at; empty: none.",
                null=True,
            ),
        ),
    ]
