from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("shop", "0013_bank_details")]
    operations = [
        migrations.AddField(
            model_name="shop",
            name="week_begins",
            field=models.PositiveSmallIntegerField(
                choices=[(0, "Monday"), (4, "Friday"), (5, "Saturday"), (6, "Sunday")],
                default=0,
                help_text="With which day the days of a week are listed.",
            ),
        ),
    ]
