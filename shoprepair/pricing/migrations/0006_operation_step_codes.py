from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('pricing', '0005_quotes_open_for_erasure'),
    ]

    operations = [
        migrations.AddField(
            model_name='operation',
            name='step_codes',
            field=models.JSONField(blank=True, default=list, help_text='What each step does, by `step_codes.Does`.'),
        ),
    ]
