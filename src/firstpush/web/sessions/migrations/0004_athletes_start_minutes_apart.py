"""Keep how many minutes after the first an athlete starts on a day."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("plans", "0003_days_have_a_plan_and_events")]

    operations = [
        migrations.AddField(
            model_name="presence",
            name="start_min",
            field=models.PositiveSmallIntegerField(
                default=0, help_text="minutes after the first, so that kit and places suffice"
            ),
        ),
    ]
