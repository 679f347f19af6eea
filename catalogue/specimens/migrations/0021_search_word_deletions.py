from django.db import migrations, models


class Migration(migrations.Migration):
    """Words get numbers and keys by which wrong letters find them. The next start lists them all anew."""

    dependencies = [
        ('specimens', '0020_search_entries'),
    ]

    operations = [
        migrations.DeleteModel(name='SearchWord'),
        migrations.CreateModel(
            name='SearchWord',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('word', models.CharField(max_length=40, unique=True)),
                ('entries', models.PositiveIntegerField()),
            ],
        ),
        migrations.CreateModel(
            name='WordDeletion',
            fields=[
                ('id', models.BigAutoField(primary_key=True, serialize=False)),
            ],
        ),
    ]
