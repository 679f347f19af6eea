"""Everything under /safekeeping/."""

from django.urls import URLPattern, URLResolver, path

from . import backups, make_pages, restoring, sending, take_in, take_out, views

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
    path("restore/send/", sending.begin, name="send"),
    path("restore/send/<slug:token>/", sending.part, name="send_part"),
    path("restore/send/<slug:token>/drop/", sending.drop, name="send_drop"),
    path("restore/give-up/", restoring.give_up, name="give_up"),
    path("take-in/", take_in.take_in, name="take_in"),
    path("take-in/<whole:pk>/", take_in.columns, name="take_in_columns"),
    path("take-in/<whole:pk>/rows/", take_in.rows, name="take_in_rows"),
    path("take-in/<whole:pk>/pictures/", take_in.pictures, name="take_in_pictures"),
    path("take-in/<whole:pk>/undo/", take_in.undo, name="take_in_undo"),
    path("take-in/<whole:pk>/drop/", take_in.drop, name="take_in_drop"),
    path("take-out/", take_out.take_out, name="take_out"),
    path("take-out/file/", take_out.take_out_file, name="take_out_file"),
    path("pages/", make_pages.carry_away, name="pages"),
    path("pages/file/", make_pages.send_pages, name="pages_file"),
    path("set-aside/<slug:what>/", views.move_aside, name="move_aside"),
    path("set-aside/<slug:day>/delete/", views.delete_day, name="delete_day"),
]
