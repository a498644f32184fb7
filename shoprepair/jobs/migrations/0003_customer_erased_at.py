from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("jobs", "0002_status_links_and_messages")]
    operations = [
        migrations.AddField(
            model_name="customer",
            name="erased_at",
            field=models.DateTimeField(
                blank=True, help_text="When everything that named them was erased.", null=True
            ),
        ),
    ]
