"""Everything under /photos/."""

from django.urls import path, re_path

from catalogue.photos.files import SIZES_PX

from . import holding, showing, views

app_name = "photos"
PICTURE_IN_A_SIZE = rf"(?P<pk>\d{{1,18}})/(?P<size>{'|'.join(SIZES_PX)})\.jpg$"
urlpatterns = [
    path("hold/", holding.hold_one, name="hold"),
    path("held/<slug:token>/", showing.show_held, name="held"),
    path("held/<slug:token>/let-go/", holding.let_one_go, name="let_go"),
    path("add/", views.add, name="add"),
    path("order/", views.order, name="order"),
    path("roles/", views.roles, name="roles"),
    re_path(rf"^{PICTURE_IN_A_SIZE}", showing.show_size, name="size"),
    re_path(rf"^card/{PICTURE_IN_A_SIZE}", showing.show_card, name="card"),
    path("<whole:pk>/", views.look, name="look"),
    path("<whole:pk>/close.jpg", showing.show_close, name="close"),
    path("<whole:pk>/cut.webp", showing.show_cut, name="cut"),
    path("<whole:pk>/original/", showing.original, name="original"),
    path("<whole:pk>/words/", views.words, name="words"),
    path("<whole:pk>/cover/", views.make_cover, name="cover"),
    re_path(r"^(?P<pk>\d{1,18})/(?P<where>earlier|later)/$", views.move, name="move"),
    path("<whole:pk>/bin/", views.put_in_bin, name="bin"),
    path("<whole:pk>/put-back/", views.put_back, name="put_back"),
    path("<whole:pk>/position/", views.use_position, name="position"),
]
