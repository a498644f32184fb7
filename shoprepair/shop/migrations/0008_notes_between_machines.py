from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0007_how_long_things_are_kept'),
    ]

    operations = [
        migrations.CreateModel(
            name='Note',
            fields=[
                ('name', models.CharField(max_length=40, primary_key=True, serialize=False)),
                ('at', models.DateTimeField()),
                ('said', models.JSONField(default=dict)),
            ],
        ),
    ]
