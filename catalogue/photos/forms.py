"""Form of a picture's role, caption and rights."""

from catalogue.common.forms import HouseModelForm

from .models import Photo


class PhotoForm(HouseModelForm):
    """Role, caption, and where a picture that isn't one's own comes from."""

    class Meta:
        model = Photo
        fields = ["role", "caption", "credit", "licence", "source", "opened"]
        labels = {
            "role": "What it shows",
            "credit": "Who took it",
            "licence": "On what terms it may be shown",
            "source": "Where it comes from",
            "opened": "Visitors may see it although it is a plate or a reference picture",
        }
        help_texts = {
            "source": "For a reference picture: the book and page, or the address it was seen at.",
        }
