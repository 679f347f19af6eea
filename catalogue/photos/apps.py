"""The app of pictures: memory, limits and background work set up at start."""

from django.apps import AppConfig
from django.conf import settings


class PhotosConfig(AppConfig):
    name = "catalogue.photos"
    verbose_name = "Pictures"

    def ready(self) -> None:
        from PIL import Image

        from catalogue.access import background, start_checks

        from . import originals_list
        from .decoding import share_one_heap
        from .renditions import follow_pictures, worker
        from .services.integrity import look_at_originals, read_originals
        from .services.set_aside import tidy_later

        # Pillow's own alarm rings where the catalogue's limit is; the limit itself is kept by `image_file`.
        Image.MAX_IMAGE_PIXELS = settings.PICTURE_MAX_PIXELS
        share_one_heap()
        originals_list.connect()
        follow_pictures()
        start_checks.register(look_at_originals)
        background.register(worker.run)
        background.register(tidy_later)
        background.register(read_originals)
