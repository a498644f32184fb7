from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("jobs", "0005_photo_x_m")]
    operations = [
        migrations.AddField(
            model_name="photo",
            name="y_m",
            field=models.FloatField(
                blank=True,
                null=True,
            ),
        ),
    ]
