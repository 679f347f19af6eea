"""What every app of the catalogue stands on."""

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_delete


class CommonConfig(AppConfig):
    name = "catalogue.common"
    label = "common"
    verbose_name = "Common ground"

    def ready(self) -> None:
        post_delete.connect(_forget_merges, dispatch_uid="merges of what is deleted")


def _forget_merges(sender: Any, instance: Any, **_: Any) -> None:
    """What was merged into a record is deleted for good with it: nothing would lead to it any more."""
    from .merged import forget_merges
    from .models import Merge

    if sender._meta.model_name in Merge.Kind.values:
        forget_merges(instance)
