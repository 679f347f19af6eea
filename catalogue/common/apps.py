"""What every app of the catalogue stands on."""

from typing import Any

from django.apps import AppConfig, apps
from django.db.models.signals import post_delete


class CommonConfig(AppConfig):
    name = "catalogue.common"
    label = "common"
    verbose_name = "Common ground"

    def ready(self) -> None:
        from .models import Merge

        for model in apps.get_models():
            if model._meta.model_name in Merge.Kind.values:
                post_delete.connect(_forget_merges, model, dispatch_uid="merges of what is deleted")


def _forget_merges(instance: Any, **_: Any) -> None:
    """What was merged into a record is deleted for good with it: nothing would lead to it any more."""
    from .merged import forget_merges

    forget_merges(instance)
