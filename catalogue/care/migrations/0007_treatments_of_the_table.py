from django.db import migrations, models


class Migration(migrations.Migration):
    """The kinds of treatment are rows of a table; no step lists them, and nothing in the database changes."""

    dependencies = [
        ("care", "0006_look_in_passing"),
    ]

    operations = [
        migrations.AlterField(
            model_name=model,
            name="method",
            field=models.CharField(max_length=12),
        )
        for model in ("historicaltreatment", "treatment")
    ]
