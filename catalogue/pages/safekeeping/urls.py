"""Everything under /safekeeping/."""

from django.urls import URLPattern, URLResolver, path

from . import backups, restoring, views

app_name = "safekeeping"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.safekeeping, name="safekeeping"),
    path("place/", backups.place, name="place"),
    path("backup/", backups.back_up_now, name="back_up_now"),
    path("backup/file/", backups.one_file, name="one_file"),
    path("backup/look/", backups.look_through, name="look_through"),
    path("task/", backups.task, name="task"),
    path("task/stop/", backups.stop, name="stop"),
    path("restore/", restoring.restore, name="restore"),
    path("restore/give-up/", restoring.give_up, name="give_up"),
    path("set-aside/<slug:what>/", views.move_aside, name="move_aside"),
    path("set-aside/<slug:day>/delete/", views.delete_day, name="delete_day"),
]
