from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0011_languages'),
    ]

    operations = [
        migrations.AddField(
            model_name='journalentry',
            name='said',
            field=models.JSONField(blank=True, help_text='The sentence as English words with their values, for other languages.', null=True),
        ),
    ]
