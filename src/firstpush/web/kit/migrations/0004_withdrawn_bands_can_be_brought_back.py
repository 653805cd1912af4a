"""Keep when a withdrawn band was brought back, and by whom."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("kit", "0003_bands_are_looked_over"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name="bandwithdrawal",
            name="brought_back_on",
            field=models.DateField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="bandwithdrawal",
            name="brought_back_by",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
    ]
