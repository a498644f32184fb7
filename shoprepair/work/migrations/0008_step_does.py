from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('work', '0007_next_free'),
    ]

    operations = [
        migrations.AddField(
            model_name='step',
            name='does',
            field=models.CharField(blank=True, default='', help_text='What it does, by `step_codes.Does`.', max_length=30),
        ),
    ]
