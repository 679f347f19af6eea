"""Everything under /photos/."""

from django.urls import path, re_path

from catalogue.photos.sizes import LONGEST

from . import adding, arranging, changing, holding, looking, showing

app_name = "photos"
urlpatterns = [
    path("hold/", holding.hold_one, name="hold"),
    path("held/<slug:token>/", showing.show_held, name="held"),
    path("held/<slug:token>/let-go/", holding.let_one_go, name="let_go"),
    path("add/", adding.add, name="add"),
    path("order/", arranging.order, name="order"),
    re_path(rf"^(?P<pk>\d{{1,18}})/(?P<size>{'|'.join(LONGEST)})\.jpg$", showing.show_size, name="size"),
    re_path(rf"^card/(?P<pk>\d{{1,18}})/(?P<size>{'|'.join(LONGEST)})\.jpg$", showing.show_card, name="card"),
    path("<int:pk>/", looking.look, name="look"),
    path("<int:pk>/close.jpg", showing.show_close, name="close"),
    path("<int:pk>/original/", showing.original, name="original"),
    path("<int:pk>/words/", changing.words, name="words"),
    path("<int:pk>/role/", changing.set_role, name="role"),
    path("<int:pk>/cover/", changing.make_cover, name="cover"),
    re_path(r"^(?P<pk>\d{1,18})/(?P<where>earlier|later)/$", changing.move, name="move"),
    path("<int:pk>/bin/", changing.put_in_bin, name="bin"),
    path("<int:pk>/put-back/", changing.put_back, name="put_back"),
    path("<int:pk>/position/", changing.use_position, name="position"),
]
