"""Rows that break a pair which the next step makes agree are mended; nothing that was typed is lost.

What a person wrote and no column keeps any longer goes as a line into the notes (of a find) or into the
reason (of an opinion). A maker shown is computed: where it is taken away, the find is dated anew at start.
"""

from django.db import migrations
from django.db.models import F, Q

SUBJECTS = ("maker", "works", "bottler", "product")


def mend_makers(apps, schema_editor):
    finds = apps.get_model("specimens", "Specimen")._base_manager
    none = {"maker": None, "maker_how": "", "maker_probability": None}
    # No maker, though it says how it was decided.
    half = finds.filter(maker=None).exclude(maker_how="", maker_probability=None)
    half.update(**none, made_with="")
    # By opinion, with a chance beside it: an opinion has none.
    finds.filter(maker__isnull=False, maker_how="opinion", maker_probability__isnull=False).update(
        maker_probability=None, made_with=""
    )
    # A maker with a chance, without a word how: the chance says that it is likely.
    shown = finds.filter(maker__isnull=False, maker_probability__isnull=False)
    shown.exclude(maker_how__in=("opinion", "likely")).update(maker_how="likely", made_with="")
    # A maker on no ground at all.
    finds.filter(maker__isnull=False, maker_probability=None).exclude(maker_how="opinion").update(
        **none, made_with=""
    )


def mend_sites(apps, schema_editor):
    """The dive says at which site: another one noted beside it stays in the notes."""
    finds = apps.get_model("specimens", "Specimen")._base_manager
    both = finds.filter(dive__isnull=False, site__isnull=False)
    for find in both.exclude(site=F("dive__site")).select_related("site"):
        find.notes = "\n".join(part for part in (find.notes, f"Site noted beside the dive: {find.site.name}.") if part)
        find.save(update_fields=["notes"])
    both.update(site=None)


def mend_opinions(apps, schema_editor):
    """An opinion leads only to what it is about: another row it led to stays in its reason."""
    opinions = apps.get_model("specimens", "Opinion")._base_manager
    wrong = Q()
    for name in SUBJECTS:
        wrong |= Q(**{f"{name}__isnull": False}) & ~Q(about=name)
    for opinion in opinions.filter(wrong).select_related(*SUBJECTS):
        for name in SUBJECTS:
            row = getattr(opinion, name)
            if row is not None and opinion.about != name:
                said = f"{name.capitalize()} noted with it: {row.name}."
                opinion.reason = "\n".join(part for part in (opinion.reason, said) if part)
                setattr(opinion, name, None)
        opinion.save(update_fields=[*SUBJECTS, "reason"])


class Migration(migrations.Migration):
    # A step of its own: PostgreSQL changes no table in the transaction that changed its rows.
    dependencies = [("specimens", "0007_spread_of_years")]

    operations = [
        migrations.RunPython(mend_makers, migrations.RunPython.noop),
        migrations.RunPython(mend_sites, migrations.RunPython.noop),
        migrations.RunPython(mend_opinions, migrations.RunPython.noop),
    ]
