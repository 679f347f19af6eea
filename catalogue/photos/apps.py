from django.apps import AppConfig


class PhotosConfig(AppConfig):
    name = "catalogue.photos"
    verbose_name = "Pictures"
