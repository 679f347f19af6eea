"""The app of pictures: memory, limits and background work set up at start."""

from django.apps import AppConfig
from django.conf import settings


class PhotosConfig(AppConfig):
    name = "catalogue.photos"
    verbose_name = "Pictures"

    def ready(self) -> None:
        from PIL import Image

        from catalogue.access import background

        from .decoding import share_one_heap
        from .services.integrity import work_on_pictures

        # Pillow's own alarm rings where the catalogue's limit is; the limit itself is kept by `image_file`.
        Image.MAX_IMAGE_PIXELS = settings.PICTURE_MAX_PIXELS
        share_one_heap()
        background.register(work_on_pictures)
