import re
import unicodedata

from django.db import migrations, models

# As `specimens/place_keys.py` had it on 2026-11-29.
SHORT_FORMS = {
    "saint": "st", "sainte": "ste", "mount": "mt", "fort": "ft", "port": "pt", "point": "pt", "north": "n",
    "south": "s", "east": "e", "west": "w", "great": "gt", "harbour": "hbr", "harbor": "hbr", "harb": "hbr",
    "springs": "spgs", "spring": "spgs", "centre": "ctr", "center": "ctr", "junction": "jct", "heights": "hts",
    "upon": "on",
}
PLAIN = str.maketrans(
    {"ß": "ss", "æ": "ae", "Æ": "ae", "œ": "oe", "Œ": "oe", "ø": "o", "Ø": "o", "ł": "l", "Ł": "l", "đ": "d"}
)


def key_of(name):
    decomposed = unicodedata.normalize("NFKD", name.translate(PLAIN))
    plain = "".join(c for c in decomposed if not unicodedata.combining(c))
    plain = " ".join(plain.casefold().split())
    words = re.sub(r"[^\w]+|_", " ", re.sub(r"[.'’`‘ʼ´]", "", plain)).split()
    key = " ".join(SHORT_FORMS.get(word, word) for word in words)
    return re.sub(r"borough\b", "boro", re.sub(r"burgh\b", "burg", key))


def fill(apps, schema_editor):
    towns = apps.get_model("specimens", "Town").objects
    for town in towns.order_by("pk").iterator():
        towns.filter(pk=town.pk).update(key=key_of(town.name)[:200])


class Migration(migrations.Migration):

    dependencies = [
        ('specimens', '0014_merges_moved'),
    ]

    operations = [
        migrations.AddField(
            model_name='historicaltown',
            name='key',
            field=models.CharField(blank=True, db_index=True, default='', editable=False, max_length=200),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name='town',
            name='key',
            field=models.CharField(blank=True, db_index=True, default='', editable=False, max_length=200),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name='historicaltown',
            name='none_of',
            field=models.CharField(blank=True, default='', editable=False, max_length=64),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name='town',
            name='none_of',
            field=models.CharField(blank=True, default='', editable=False, max_length=64),
            preserve_default=False,
        ),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
